/** Order statistics of a few numbers; of many, raster/select.ts. */

/** By straight lines between the ordered values. @returns NaN for none. */
export function quantile(values: readonly number[], q: number): number {
  return quantileOfSorted(ordered(values), q);
}

/** The same of values that rise already. */
export function quantileOfSorted(sorted: ArrayLike<number>, q: number): number {
  const at = q * (sorted.length - 1);
  const low = Math.floor(at);
  const high = Math.min(sorted.length - 1, low + 1);
  return sorted.length === 0 ? Number.NaN : sorted[low] + (at - low) * (sorted[high] - sorted[low]);
}

/** The value that this share of all lie below, itself one of them; 0 for none. */
export function valueAbove(values: Float64Array, share: number): number {
  const sorted = values.toSorted();
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
}

/** Of an even count the mean of the middle two. @returns NaN for none. */
export function median(values: readonly number[]): number {
  const sorted = ordered(values);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

/** Of an even count the larger of the middle two, which is one of the values. @param none what of no values is told */
export function upperMedian(values: ArrayLike<number>, none = Number.NaN): number {
  return ordered(values)[values.length >> 1] ?? none;
}

function ordered(values: ArrayLike<number>): Float64Array {
  return Float64Array.from(values).sort();
}
