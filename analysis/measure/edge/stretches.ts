/** Stretches of strokes, longer than fibres and noise hang together: what the block bootstrap draws from. */
import { seededRandom } from '../../seededRandom.ts';

/** Common practice, no source; the blocks of a colour are as long (measuredColour.ts). */
const STRETCH_MM = 2;

/** Number of the stretch that each station of each stroke lies in, counting on from stroke to stroke. */
export function stretchesOf(
  stations: readonly number[],
  stationsPerMm: (stroke: number) => number,
): { readonly of: readonly Int32Array[]; readonly count: number } {
  let count = 0;
  const of = stations.map((n, stroke) => {
    const size = Math.max(1, Math.round(STRETCH_MM * stationsPerMm(stroke)));
    const from = count;
    const own = Math.max(1, Math.round(n / size));
    count += own;
    const numbers = new Int32Array(n);
    for (let i = 0; i < n; i++) numbers[i] = from + Math.min(own - 1, Math.floor((i * own) / n));
    return numbers;
  });
  return { of, count };
}

/** Standard deviation of a statistic when stretches are drawn with putting back. */
export function bootstrapDeviation(
  count: number,
  seed: number,
  statistic: (weight: Float64Array) => number,
  draws = 100,
): number {
  return bootstrapDeviations(count, seed, (weight, into) => void (into[0] = statistic(weight)), 1, draws)[0];
}

/** The same of several statistics of the same draws. @param statistics Writes as many as `size` says. */
export function bootstrapDeviations(
  count: number,
  seed: number,
  statistics: (weight: Float64Array, into: Float64Array) => void,
  size: number,
  draws = 100,
): Float64Array {
  const deviations = new Float64Array(size);
  if (count < 2) return deviations;
  const random = seededRandom(seed);
  const weight = new Float64Array(count);
  const values = new Float64Array(size);
  const sums = new Float64Array(3 * size);
  for (let d = 0; d < draws; d++) {
    drawInto(weight, random);
    statistics(weight, values);
    for (let s = 0; s < size; s++) addValue(sums, 3 * s, values[s]);
  }
  for (let s = 0; s < size; s++) {
    if (sums[3 * s] >= 2) deviations[s] = Math.sqrt(sums[3 * s + 2] / (sums[3 * s] - 1));
  }
  return deviations;
}

function drawInto(weight: Float64Array, random: () => number): void {
  weight.fill(0);
  for (let k = 0; k < weight.length; k++) weight[Math.floor(random() * weight.length)]++;
}

/** Count, mean and squares about it, as values come (Welford 1962). */
function addValue(sums: Float64Array, at: number, value: number): void {
  if (!Number.isFinite(value)) return;
  sums[at]++;
  const off = value - sums[at + 1];
  sums[at + 1] += off / sums[at];
  sums[at + 2] += off * (value - sums[at + 1]);
}
