/** What inks may be before any is measured: log (k + 0.02) and log scatter together in several kinds, each by mean and modes, with a list of starts for the fit. */
import { mixtureRows, rootRows } from './encoded.ts';
import { GRID } from './grid.ts';
import { INK } from './priors/inkTable.ts';
import { PIGMENT } from './priors/pigmentTable.ts';

/** One kind of ink of several; together they fill what one Gaussian would blur. */
export interface InkKind {
  /** Of belief; all kinds' sum is 1. */
  readonly share: number;
  /** Log (k + 0.02). */
  readonly mean: Float64Array;
  /** Log of scatter per unit dose. */
  readonly scatterMean: Float64Array;
  /** Independent unit normals times these. */
  readonly modes: readonly InkMode[];
  readonly starts: readonly InkStart[];
  /** Scatter is a spectrum of its own, which goes with absorption. */
  readonly pigment: boolean;
}

/** What one unknown moves: log (k + 0.02), log scatter, or both. */
export interface InkMode {
  readonly k: Float64Array | null;
  readonly scatter: Float64Array | null;
}

export interface InkStart {
  /** Maximum 1. */
  readonly k: Float64Array;
  /** Scatter in the unit of k. */
  readonly scatter: Float64Array;
}

export interface InkPrior {
  readonly kinds: readonly InkKind[];
}

/** Added to k before its logarithm. */
export const INK_FLOOR = 0.02;
/** How often an ink is a pigment, before it is seen. A choice, no source. */
export const PIGMENT_SHARE = 0.3;
/** A dye's scatter per unit dose: log-normal, alike at all wavelengths. */
const SCATTER_MEDIAN = 0.025;
const SCATTER_LOG_SD = 0.9;

const FLAT = new Float64Array(GRID.count).fill(SCATTER_LOG_SD);
const EVEN = new Float64Array(GRID.count).fill(SCATTER_MEDIAN);

/** A kind of dye, whose scatter is one unknown beside absorption's. @param starts absorption curves, maximum 1 */
export function dyeKind(
  share: number,
  mean: Float64Array,
  modes: readonly Float64Array[],
  starts: readonly Float64Array[],
): InkKind {
  return {
    share: share * (1 - PIGMENT_SHARE),
    mean,
    scatterMean: EVEN.map(Math.log),
    modes: [...modes.map((k): InkMode => ({ k, scatter: null })), { k: null, scatter: FLAT }],
    starts: starts.map((k) => ({ k, scatter: EVEN })),
    pigment: false,
  };
}

/** @param mean, modes, starts 72 values: absorption, then scatter */
export function pigmentKind(
  share: number,
  mean: Float64Array,
  modes: readonly Float64Array[],
  starts: readonly Float64Array[],
): InkKind {
  const parted = (both: Float64Array): [Float64Array, Float64Array] => [
    both.slice(0, GRID.count),
    both.slice(GRID.count),
  ];
  const [own, scatterMean] = parted(mean);
  return {
    share: share * PIGMENT_SHARE,
    mean: own,
    scatterMean,
    modes: modes.map((mode) => {
      const [k, scatter] = parted(mode);
      return { k, scatter };
    }),
    starts: starts.map((start) => {
      const [k, scatter] = parted(start);
      return { k, scatter };
    }),
    pigment: true,
  };
}

let shipped: InkPrior | null = null;

/** Read once from the tables in priors/. */
export function shippedInkPrior(): InkPrior {
  shipped ??= {
    kinds: [...kindsOf(INK, GRID.count, dyeKind), ...kindsOf(PIGMENT, 2 * GRID.count, pigmentKind)],
  };
  return shipped;
}

interface KindTable {
  readonly shares: readonly number[];
  readonly startCounts: readonly number[];
  readonly rows: string;
  readonly starts: string;
}

function kindsOf(table: KindTable, width: number, kindOf: typeof dyeKind): InkKind[] {
  const starts = rootRows(table.starts, width);
  let from = 0;
  return mixtureRows(table.shares, table.rows, width).map(({ share, mean, modes }, n) => {
    const own = starts.slice(from, from + table.startCounts[n]);
    from += table.startCounts[n];
    return kindOf(share, mean, modes, own);
  });
}

/** Absorption curves on the grid, 1 at their maximum, of all kinds of dye. */
export function inkStarts(): readonly Float64Array[] {
  return shippedInkPrior().kinds.flatMap(({ starts, pigment }) => (pigment ? [] : starts.map(({ k }) => k)));
}
