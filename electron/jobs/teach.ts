/** A scan with a known target and a card in it → the card's own reference. */
import type { TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import type { CalibrateTask } from './tasks.ts';

export interface TeachRequest {
  /** Each a scan with the known target and the card in it; where the known target is, and its values, as for calibrating. */
  readonly scans: readonly Omit<CalibrateTask, 'task'>[];
  /** The card's layout; the printed one of this program unless told. */
  readonly card: TargetLayout;
}

export interface Taught {
  readonly reference: TargetReference;
  /** What a person should know, one line each. */
  readonly warnings: readonly string[];
}

/** @throws JobError 'target-not-found', 'card-not-found', 'card-overlaps', 'card-clipped', 'card-resized', 'card-too-coarse', 'calibration-poor' */
export function teachFromScans(_request: TeachRequest): Promise<Taught> {
  return Promise.reject(new Error('not written yet'));
}
