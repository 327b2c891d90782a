/** All targets that a sheet names, each calibrated once however many scans share it. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import type { Flag } from '../../analysis/quantity.ts';
import { uncalibratedBy } from '../scans/uncalibrated.ts';
import type { LoadedScan, LoadedSheet, LoadedTarget } from '../sheet/loadedSheet.ts';
import { JobError } from './jobError.ts';
import type { CalibrateResult, TaskRunner } from './tasks.ts';

export interface ScanCalibration {
  readonly calibration: Calibration;
  readonly scannerBlurMm: number | null;
  /** What every number from this scan carries. */
  readonly flags: readonly Flag[];
  readonly target: LoadedTarget | null;
  readonly pointsPx: CalibrateResult['pointsPx'] | null;
}

/** @throws JobError when a target that the sheet names cannot be calibrated: numbers without it would not be what was asked for. */
export async function calibrateTarget(
  target: LoadedTarget,
  runner: TaskRunner,
  signal?: AbortSignal,
): Promise<CalibrateResult> {
  const { info, dpi, layout, reference, pointsMm, white } = target;
  try {
    return await runner.calibrate(
      { task: 'calibrate', info, dpi, layout, reference, pointsMm: pointsMm ?? null, white: white ?? null },
      signal,
    );
  } catch (error) {
    if (signal?.aborted) throw error;
    // Why it failed says what can be done about it: placing the target by hand, another reference, scanning anew.
    const code = error instanceof JobError && error.code !== 'worker-lost' ? error.code : 'calibration-failed';
    throw new JobError(code, error instanceof Error ? error.message : String(error));
  }
}

export function targetsOf(loaded: LoadedSheet): LoadedTarget[] {
  return [...new Set([...loaded.targets.values()].flatMap((t) => t ?? []).concat(loaded.target ?? []))];
}

/** Without a target a scan is read through its embedded profile, or as sRGB. */
export async function calibrationOfScan(
  scan: LoadedScan,
  loaded: LoadedSheet,
  results: ReadonlyMap<LoadedTarget, CalibrateResult>,
): Promise<ScanCalibration> {
  const target = loaded.targets.get(scan.id) ?? null;
  const result = target && results.get(target);
  if (!target || !result) {
    return {
      calibration: (await uncalibratedBy(scan.info)).calibration,
      scannerBlurMm: null,
      flags: ['uncalibrated'],
      target: null,
      pointsPx: null,
    };
  }
  const flags: Flag[] = [];
  if (result.calibration.judgement === 'poor') flags.push('poor-calibration');
  // Another embedded profile means another setting of the scanner's software: the curves may not be the target's.
  if (target.info.iccHash !== scan.info.iccHash) flags.push('settings-changed');
  return {
    calibration: result.calibration,
    scannerBlurMm: result.scannerBlurMm,
    flags,
    target,
    pointsPx: result.pointsPx,
  };
}
