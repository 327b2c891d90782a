/** The target that lies in a scan, with its calibration: waited for when it is not made yet. */
import { JobError } from '../jobs/jobError.ts';
import type { MadeCalibration } from '../jobs/calibrations.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { Library } from '../library/library.ts';
import { standingOf, type StandingTarget } from './standing.ts';

export interface CalibratedTarget {
  readonly target: StandingTarget;
  readonly made: MadeCalibration;
}

/** @throws JobError 'no-such-scan', 'no-target', 'calibration-failed', or why the target was not found ('target-…') */
export async function calibratedTarget(
  library: Library,
  measuring: Measuring,
  ink: number,
  scan: string,
  signal?: AbortSignal,
): Promise<CalibratedTarget> {
  const standing = standingOf(library, ink);
  const target = standing.targets.find((t) => t.named.scan === scan);
  if (!target) {
    // Its own scan's file may be gone, or its resolution not known.
    const why = standing.scans.get(scan)?.problem ?? standing.loaded.targetProblems.at(0);
    const named =
      standing.document.scans.some((s) => s.target?.scan === scan) || standing.document.target?.scan === scan;
    if (named && why) throw new JobError('calibration-failed', why);
    if (!standing.document.scans.some(({ id }) => id === scan)) {
      throw new JobError(
        'no-such-scan',
        `This ink has no scan “${scan}” (any more); choose one of its scans, or undo what took it away.`,
      );
    }
    throw new JobError(
      'no-target',
      `No target is said to lie in scan “${scan}”; say which layout and reference it has.`,
    );
  }
  const made = await measuring.calibration(standing, target, signal);
  if ('problem' in made) throw new JobError(made.code, made.problem);
  return { target, made };
}
