/** What inks may be before any is measured: log (k + 0.02) by mean and modes, and a list of starts for the fit. */
import { floatRows, rootRows } from './encoded.ts';
import { GRID } from './grid.ts';
import { INK } from './priors/inkTable.ts';

export interface InkPrior {
  readonly mean: Float64Array;
  readonly modes: readonly Float64Array[];
  /** Absorption curves, maximum 1. */
  readonly starts: readonly Float64Array[];
}

/** Added to k before its logarithm. */
export const INK_FLOOR = 0.02;

let shipped: InkPrior | null = null;

export function shippedInkPrior(): InkPrior {
  if (shipped === null) {
    const [mean, ...modes] = floatRows(INK.prior, GRID.count);
    shipped = { mean, modes, starts: rootRows(INK.starts, GRID.count) };
  }
  return shipped;
}

export function inkStarts(): readonly Float64Array[] {
  return shippedInkPrior().starts;
}
