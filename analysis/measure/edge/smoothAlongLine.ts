/** Gaussian mean along a stroke's stations; missing values (NaN) are left out of it. */
import { gaussianKernel } from '../../raster/gaussian.ts';

export function smoothed(values: Float64Array, sigma: number): Float64Array {
  const kernel = gaussianKernel(Math.max(0.3, sigma));
  const n = values.length;
  const out = new Float64Array(n);
  const reach = kernel.length - 1;
  for (let i = 0; i < n; i++) {
    let sum = 0;
    let weight = 0;
    const from = i < reach ? 0 : i - reach;
    const to = i + reach < n ? i + reach : n - 1;
    for (let k = from; k <= to; k++) {
      const v = values[k];
      if (Number.isNaN(v)) continue;
      const w = kernel[k < i ? i - k : k - i];
      sum += w * v;
      weight += w;
    }
    out[i] = weight > 0 ? sum / weight : NaN;
  }
  return out;
}
