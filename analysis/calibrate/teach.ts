/** A card's own reference, taught by scanning it beside a target whose values are known. */
import type { Calibration, PatchReading, SurroundReading, TargetReference } from './calibration.ts';

/** One scan with the known target and the card in it. */
export interface TeachingScan {
  /** By the known target. */
  readonly calibration: Calibration;
  /** Bare parts of the known target and of the card; each piece is of one paper, and they may differ. */
  readonly knownSurround: readonly SurroundReading[];
  readonly cardSurround: readonly SurroundReading[];
  readonly card: readonly PatchReading[];
}

/**
 * @returns Lab (D50) of every patch with its standard uncertainty, and what to know of it in `notes`.
 * Throws a CalibrationError 'card-clipped' or 'not-calibrated'.
 */
export function teachCard(_scans: readonly TeachingScan[]): TargetReference {
  throw new Error('not written yet');
}

export interface TaughtFrom {
  /** Name of the target that taught it. */
  readonly known: string;
  readonly printer?: string;
  /** ISO date of the teaching, from the host. */
  readonly date?: string;
}

/** CGATS.17 text with LAB_L LAB_A LAB_B and STDEV_L STDEV_A STDEV_B. */
export function taughtReferenceText(_reference: TargetReference, _from: TaughtFrom): string {
  throw new Error('not written yet');
}
