/** Mean and scatter of a few numbers. */

/** For a normal scatter the 10th and 90th percentile lie this many standard deviations from the mean. */
export const Z90 = 1.2816;

/** @returns NaN for none. */
export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Standard deviation of what the values were drawn from (over n − 1); 0 for fewer than two. */
export function deviation(values: readonly number[]): number {
  if (values.length < 2) return 0;
  const middle = mean(values);
  return Math.sqrt(values.reduce((sum, v) => sum + (v - middle) ** 2, 0) / (values.length - 1));
}

/**
 * Standard uncertainty of a figure from what it would be with each part left out; 0 for fewer than two parts.
 * Source: Quenouille (1956), Biometrika 43, 353–360; Tukey (1958), Ann. Math. Stat. 29, 614.
 */
export function jackknife(without: readonly number[]): number {
  const n = without.length;
  if (n < 2) return 0;
  const middle = mean(without);
  return Math.sqrt(((n - 1) / n) * without.reduce((sum, v) => sum + (v - middle) ** 2, 0));
}
