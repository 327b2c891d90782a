/** How much more or less ink a pen may put down on a paper where it was not seen. */
import type { LayerSample } from './inkLayer.ts';

/** Of a pen's mean dose from paper to paper, logarithm; common practice of drawn papers and of the few that were seen, no source. */
export const USUAL_DOSE_SPREAD = 0.12;
/** So many papers' worth of belief in that. */
const BELIEF = 2;

/** Standard deviation of the logarithm of the dose on the next paper against the mean of those seen. */
export function doseSpread(samples: readonly LayerSample[]): number {
  const logs = samples.map(({ bins }) => Math.log(bins.reduce((sum, { dose, share }) => sum + dose * share, 0)));
  return logSpread(logs);
}

/** The same from mean doses' natural logarithms, one a paper: what is usual weighs as BELIEF papers more. */
export function logSpread(logs: readonly number[]): number {
  const mean = logs.reduce((a, b) => a + b, 0) / logs.length;
  const squares = logs.reduce((sum, v) => sum + (v - mean) ** 2, 0);
  const variance = (BELIEF * USUAL_DOSE_SPREAD ** 2 + squares) / (BELIEF + logs.length - 1);
  return Math.sqrt(variance * (1 + 1 / logs.length));
}
