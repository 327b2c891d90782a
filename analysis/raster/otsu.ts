/**
 * Otsu's threshold: the level that parts values into two classes with the largest variance between them.
 * Source: Otsu (1979), IEEE Trans. SMC 9(1), 62–66.
 * @param values Any finite numbers. @param bins Levels of the histogram between the smallest and the largest value.
 * Returns the threshold in the values' own unit; equal values give that value.
 */
export function otsuThreshold(values: Float32Array, bins = 512): number {
  const extent = new Float64Array([Infinity, -Infinity]);
  for (let from = 0; from < values.length; from += CHUNK) widen(extent, values, from);
  const [low, high] = extent;
  if (!(high > low)) return low;
  const histogram = new Int32Array(bins);
  const scale = bins / (high - low);
  for (let from = 0; from < values.length; from += CHUNK) {
    count(values, from, Math.min(values.length, from + CHUNK), low, scale, histogram);
  }
  let total = 0;
  for (let i = 0; i < bins; i++) total += i * histogram[i];
  let weightLow = 0;
  let sumLow = 0;
  let best = -1;
  let bestFrom = 0;
  let bestTo = 0;
  for (let i = 0; i < bins - 1; i++) {
    weightLow += histogram[i];
    sumLow += i * histogram[i];
    const weightHigh = values.length - weightLow;
    if (weightLow === 0 || weightHigh === 0) continue;
    const gap = sumLow / weightLow - (total - sumLow) / weightHigh;
    const between = weightLow * weightHigh * gap * gap;
    if (between > best * (1 + 1e-12)) {
      best = between;
      bestFrom = i;
      bestTo = i;
    } else if (between >= best * (1 - 1e-12)) bestTo = i; // an empty valley: take its middle
  }
  return low + ((bestFrom + bestTo) / 2 + 1) / scale;
}

/** So many at a time: what is called often is soon compiled. */
const CHUNK = 1024;

function count(
  values: Float32Array,
  from: number,
  to: number,
  low: number,
  scale: number,
  histogram: Int32Array,
): void {
  const last = histogram.length - 1;
  for (let i = from; i < to; i++) {
    const bin = ((values[i] - low) * scale) | 0;
    histogram[bin < last ? bin : last]++;
  }
}

/** The smallest and the largest of the values. */
function widen(extent: Float64Array, values: Float32Array, from: number): void {
  let low = extent[0];
  let high = extent[1];
  for (let i = from, end = Math.min(values.length, from + CHUNK); i < end; i++) {
    const v = values[i];
    if (v < low) low = v;
    if (v > high) high = v;
  }
  extent[0] = low;
  extent[1] = high;
}
