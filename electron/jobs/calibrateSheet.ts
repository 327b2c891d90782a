/** All targets that a sheet names, each calibrated once however many scans share it. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import type { Flag } from '../../analysis/quantity.ts';
import { otherSettings } from '../scans/otherSettings.ts';
import { uncalibratedBy } from '../scans/uncalibrated.ts';
import type { LoadedScan, LoadedSheet, LoadedTarget, RegionProblem } from '../sheet/loadedSheet.ts';
import { JobError } from './jobError.ts';
import type { CalibrateResult, TaskRunner } from './tasks.ts';

export interface ScanCalibration {
  readonly calibration: Calibration;
  readonly scannerBlurMm: number | null;
  /** What every number from this scan carries. */
  readonly flags: readonly Flag[];
  readonly target: LoadedTarget | null;
  readonly pointsPx: CalibrateResult['pointsPx'] | null;
  /** Which values of its scale the target's scan uses; left out: not known. */
  readonly scale?: CalibrateResult['scale'];
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

/** @throws JobError of the first when none of them can be calibrated, and whatever is not a JobError */
export async function calibrateTargets(
  targets: readonly LoadedTarget[],
  calibrate: (target: LoadedTarget) => Promise<CalibrateResult>,
): Promise<{ results: Map<LoadedTarget, CalibrateResult>; failed: Map<LoadedTarget, JobError> }> {
  const results = new Map<LoadedTarget, CalibrateResult>();
  const failed = new Map<LoadedTarget, JobError>();
  await Promise.all(
    targets.map(async (target) => {
      try {
        results.set(target, await calibrate(target));
      } catch (error) {
        if (!(error instanceof JobError)) throw error;
        failed.set(target, error);
      }
    }),
  );
  const first = targets.flatMap((target) => failed.get(target) ?? []).at(0);
  if (first !== undefined && results.size === 0) throw first;
  return { results, failed };
}

/** A target that cannot be calibrated takes only its own scans with it, as a file does that cannot be read. */
export function withoutTargets(
  loaded: LoadedSheet,
  failed: ReadonlyMap<LoadedTarget, JobError>,
): { loaded: LoadedSheet; lost: RegionProblem[] } {
  if (failed.size === 0) return { loaded, lost: [] };
  const why = (scan: string): string | undefined => {
    const target = loaded.targets.get(scan);
    const message = target ? failed.get(target)?.message : undefined;
    // Of several targets it must be said which: what is read of its patches does not name the file.
    const file = target?.info.file ?? '';
    return message === undefined || message.startsWith(file) ? message : `${file}: ${message}`;
  };
  const kept = <T>(byScan: ReadonlyMap<string, T>) => new Map([...byScan].filter(([id]) => why(id) === undefined));
  const lost = loaded.regions.flatMap(({ id, scan }) => {
    const message = why(scan);
    return message === undefined ? [] : [{ region: id, message }];
  });
  return {
    loaded: {
      ...loaded,
      scans: kept(loaded.scans),
      targets: kept(loaded.targets),
      target: loaded.target && failed.has(loaded.target) ? null : loaded.target,
      regions: loaded.regions.filter(({ scan }) => why(scan) === undefined),
    },
    lost,
  };
}

/** Without a target a scan is read through its embedded profile, or as sRGB. */
export async function calibrationOfScan(
  scan: LoadedScan,
  loaded: LoadedSheet,
  results: ReadonlyMap<LoadedTarget, CalibrateResult>,
): Promise<ScanCalibration> {
  const target = loaded.targets.get(scan.id) ?? null;
  const result = target && results.get(target);
  const packed: Flag[] = scan.info.lossy ? ['lossy'] : [];
  if (!target || !result) {
    return {
      calibration: (await uncalibratedBy(scan.info)).calibration,
      scannerBlurMm: null,
      flags: ['uncalibrated', ...packed],
      target: null,
      pointsPx: null,
    };
  }
  const flags = [...packed];
  if (result.calibration.judgement === 'poor') flags.push('poor-calibration');
  if (otherSettings(target.info, scan.info)) flags.push('settings-changed');
  return {
    calibration: result.calibration,
    scannerBlurMm: result.scannerBlurMm,
    flags,
    target,
    pointsPx: result.pointsPx,
    scale: result.scale,
  };
}
