/** The report card of the target that lies in a scan, held against earlier calibrations of the same scanner in the library. */
import { calibrationReport } from '../findings/calibrationReport.ts';
import { isSameScanner } from '../findings/driftReport.ts';
import type { CalibrationReport } from '../findings/reportShape.ts';
import { aboutOf } from '../jobs/calibrations.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { Library } from '../library/library.ts';
import type { CalibrationAbout } from '../library/results.ts';
import { calibratedTarget } from './calibratedTarget.ts';

/** @throws JobError 'no-target', 'calibration-failed', or why the target was not found ('target-…') */
export async function reportOfTarget(
  library: Library,
  measuring: Measuring,
  ink: number,
  scan: string,
  signal?: AbortSignal,
): Promise<CalibrationReport> {
  const { target, made } = await calibratedTarget(library, measuring, ink, scan, signal);
  const { calibration, pointsPx, madeAt } = made;
  // A calibration of an earlier version says neither how its target was located nor how blurred its scan is.
  const about = made.about ?? { ...(await aboutOf(target.loaded, UNKNOWN)), located: null };
  const { located, scannerBlurMm, scanner, scannedAt } = about;
  const now = timeOf(about, madeAt);
  const others = library.calibrationsBeside(
    target.scan.hash,
    (other) => isSameScanner(other.about, about) && timeOf(other.about, other.madeAt) < now,
  );
  return calibrationReport({
    calibration,
    pointsPx,
    located,
    scannerBlurMm,
    target: target.loaded,
    scanner,
    scannedAt,
    given: false,
    earlier: others.map(({ scanName, about: then, madeAt: thenMade, calibration: { model, curves, matrix } }) => ({
      name: scanName,
      at: timeOf(then, thenMade),
      map: { model, curves, matrix },
      scanner: then.scanner,
      kind: then.kind,
      layoutName: then.layoutName,
    })),
  });
}

const UNKNOWN = { located: { by: 'grid', score: 0, words: '' }, scannerBlurMm: null } as const;

/** When it was scanned, else calibrated: scans of one day may be brought in any order. */
function timeOf({ scannedAt }: Pick<CalibrationAbout, 'scannedAt'>, madeAt: string): string {
  return scannedAt ?? madeAt;
}
