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
    return Int32Array.from({ length: n }, (_, i) => from + Math.min(own - 1, Math.floor((i * own) / n)));
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
  if (count < 2) return 0;
  const random = seededRandom(seed);
  const weight = new Float64Array(count);
  const values: number[] = [];
  for (let d = 0; d < draws; d++) {
    weight.fill(0);
    for (let k = 0; k < count; k++) weight[Math.floor(random() * count)]++;
    const v = statistic(weight);
    if (Number.isFinite(v)) values.push(v);
  }
  if (values.length < 2) return 0;
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  return Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (values.length - 1));
}
