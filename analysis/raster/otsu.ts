/**
 * Otsu's threshold: the level that parts values into two classes with the largest variance between them.
 * Source: Otsu (1979), IEEE Trans. SMC 9(1), 62–66.
 * @param values Any finite numbers. @param bins Levels of the histogram between the smallest and the largest value.
 * Returns the threshold in the values' own unit; equal values give that value.
 */
export function otsuThreshold(values: Float32Array, bins = 512): number {
  let low = Infinity;
  let high = -Infinity;
  for (const v of values) {
    if (v < low) low = v;
    if (v > high) high = v;
  }
  if (!(high > low)) return low;
  const histogram = new Float64Array(bins);
  const scale = bins / (high - low);
  for (const v of values) histogram[Math.min(bins - 1, Math.floor((v - low) * scale))]++;
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
