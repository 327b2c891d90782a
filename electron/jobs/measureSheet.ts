/** What `wetline measure` and `wetline calibrate` ask for. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { LoadedSheet, RegionProblem } from '../sheet/loadedSheet.ts';

export interface JobOptions {
  readonly onProgress?: (done: number, total: number, what: string) => void;
  readonly signal?: AbortSignal;
}

export interface MeasureOptions extends JobOptions {
  readonly overlaysDir?: string;
  readonly force?: boolean;
}

export interface MeasureOutcome {
  readonly findings: readonly Quantity[];
  readonly calibration: Calibration;
  readonly problems: readonly RegionProblem[];
  /** Files written. */
  readonly overlays: readonly string[];
}

export interface CalibrateOutcome {
  readonly calibration: Calibration;
  readonly problems: readonly RegionProblem[];
}

export function measureSheet(_loaded: LoadedSheet, _options: MeasureOptions): Promise<MeasureOutcome> {
  return Promise.reject(new Error('measuring is not wired yet'));
}

export function calibrateSheet(_loaded: LoadedSheet, _options: JobOptions): Promise<CalibrateOutcome> {
  return Promise.reject(new Error('calibrating is not wired yet'));
}
