/** Order statistics of a few numbers. */

/** By straight lines between the ordered values, as fit.ts counts the left-out ΔE00. @returns NaN for none. */
export function quantile(values: readonly number[], q: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  const at = q * (sorted.length - 1);
  const low = Math.floor(at);
  const high = Math.min(sorted.length - 1, low + 1);
  return sorted.length === 0 ? Number.NaN : sorted[low] + (at - low) * (sorted[high] - sorted[low]);
}

export function median(values: readonly number[]): number {
  return quantile(values, 0.5);
}
