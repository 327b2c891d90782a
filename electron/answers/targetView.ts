/** A target in its scan: where it lies, how well each patch is foretold, and what that means. */
import { homography, mapPoint, type Point } from '../../analysis/raster/homography.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { TargetView } from '../backend/api.ts';
import { judgementSentence } from '../findings/calibrationCard.ts';
import { JobError } from '../jobs/jobError.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { Library } from '../library/library.ts';
import { standingOf } from './standing.ts';

/**
 * The target that lies in this scan, calibrated.
 * @throws JobError 'no-target', 'calibration-failed', or why the target was not found ('target-…')
 */
export async function targetView(
  library: Library,
  measuring: Measuring,
  ink: number,
  scan: string,
  signal?: AbortSignal,
): Promise<TargetView> {
  const standing = standingOf(library, ink);
  const target = standing.targets.find((t) => t.named.scan === scan);
  if (!target) {
    const [why] = standing.loaded.targetProblems;
    const named =
      standing.document.scans.some((s) => s.target?.scan === scan) || standing.document.target?.scan === scan;
    if (named && why) throw new JobError('calibration-failed', why);
    throw new JobError(
      'no-target',
      `No target is said to lie in scan “${scan}”; say which layout and reference it has.`,
    );
  }
  const answer = await measuring.calibration(standing, target, signal);
  if ('problem' in answer) throw new JobError(answer.code, answer.problem);
  const { calibration, pointsPx } = answer;
  const { layout } = target.loaded;
  const toPx = homography(layout.pointsMm, pointsPx);
  const byId = new Map(calibration.patches.map((p) => [p.id, p]));
  return {
    scan,
    layoutName: layout.name,
    pointsPx,
    found: target.named.pointsMm === undefined,
    patches: layout.patches.flatMap(({ id, boxMm: [x, y, w, h] }) => {
      const patch = byId.get(id);
      if (!patch) return [];
      const corners: Point[] = [
        [x, y],
        [x + w, y],
        [x + w, y + h],
        [x, y + h],
      ];
      return [
        {
          id,
          cornersPx: corners.map((corner) => mapPoint(toPx, corner)),
          reference: plain(patch.reference),
          leftOut: plain(patch.leftOut),
          dE00LeftOut: patch.dE00LeftOut,
          flags: patch.flags,
        },
      ];
    }),
    judgement: calibration.judgement,
    leftOutMedian: calibration.leftOutMedian,
    words: judgementSentence(calibration),
    located: answer.about?.located ?? null,
    cautions: calibration.cautions,
  };
}

function plain([L, a, b]: LabValue): LabValue {
  return [L, a, b];
}
