/** A target in its scan: where it lies, how well each patch is foretold, and what that means. */
import type { PatchResult } from '../../analysis/calibrate/calibration.ts';
import { homography, mapBox } from '../../analysis/raster/homography.ts';
import type { TargetView } from '../backend/api.ts';
import { judgementSentence, referenceSentence } from '../findings/calibrationWords.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { Library } from '../library/library.ts';
import { calibratedTarget } from './calibratedTarget.ts';

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
  const { target, made } = await calibratedTarget(library, measuring, ink, scan, signal);
  const { calibration, pointsPx } = made;
  const { layout } = target.loaded;
  const toPx = homography(layout.pointsMm, pointsPx);
  const byId = new Map(calibration.patches.map((p) => [p.id, p]));
  return {
    scan,
    layoutName: layout.name,
    pointsPx,
    found: target.named.pointsMm === undefined,
    patches: layout.patches.flatMap(({ id, boxMm }) => {
      const patch = byId.get(id);
      if (!patch) return [];
      return [
        {
          id,
          cornersPx: mapBox(toPx, boxMm),
          reference: patch.reference,
          leftOut: patch.leftOut,
          dE00LeftOut: patch.dE00LeftOut,
          flags: patch.flags,
        },
      ];
    }),
    judgement: calibration.judgement,
    leftOutMedian: calibration.leftOutMedian,
    words: judgementSentence(calibration),
    located: made.about?.located ?? null,
    cautions: calibration.cautions,
    referenceWords: knownTo(calibration.patches),
  };
}

/** Null: the reference gives no uncertainties. */
function knownTo(patches: readonly PatchResult[]): string | null {
  const lengths = patches.flatMap(({ referenceU }) => (referenceU ? [Math.hypot(...referenceU)] : []));
  if (lengths.length === 0) return null;
  const inOrder = lengths.toSorted((a, b) => a - b);
  return referenceSentence({ median: inOrder[inOrder.length >> 1], largest: inOrder[inOrder.length - 1] });
}
