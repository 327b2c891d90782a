/** What inks may be before any is measured: log (k + 0.02) in several kinds, each by mean and modes, with a list of starts for the fit. */
import { mixtureRows, rootRows } from './encoded.ts';
import { GRID } from './grid.ts';
import { INK } from './priors/inkTable.ts';

/** One kind of ink of several; together they fill what one Gaussian would blur. */
export interface InkKind {
  /** Of belief; all kinds' sum is 1. */
  readonly share: number;
  readonly mean: Float64Array;
  /** Independent unit normals times these. */
  readonly modes: readonly Float64Array[];
  /** Absorption curves, maximum 1. */
  readonly starts: readonly Float64Array[];
}

export interface InkPrior {
  readonly kinds: readonly InkKind[];
}

/** Added to k before its logarithm. */
export const INK_FLOOR = 0.02;

let shipped: InkPrior | null = null;

export function shippedInkPrior(): InkPrior {
  if (shipped === null) {
    const starts = rootRows(INK.starts, GRID.count);
    let from = 0;
    const kinds = mixtureRows(INK.shares, INK.rows, GRID.count).map((kind, n): InkKind => {
      const own = starts.slice(from, from + INK.startCounts[n]);
      from += INK.startCounts[n];
      return { ...kind, starts: own };
    });
    shipped = { kinds };
  }
  return shipped;
}

export function inkStarts(): readonly Float64Array[] {
  return shippedInkPrior().kinds.flatMap(({ starts }) => starts);
}
