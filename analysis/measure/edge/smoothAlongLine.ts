/** Gaussian mean along a stroke's stations; missing values (NaN) are left out of it. */
import { gaussianKernel } from '../../raster/gaussian.ts';

export function smoothed(values: Float64Array, sigma: number): Float64Array {
  const kernel = gaussianKernel(Math.max(0.3, sigma));
  const n = values.length;
  const out = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let sum = 0;
    let weight = 0;
    for (let k = -Math.min(i, kernel.length - 1); k < kernel.length && i + k < n; k++) {
      const v = values[i + k];
      if (Number.isNaN(v)) continue;
      const w = kernel[k < 0 ? -k : k];
      sum += w * v;
      weight += w;
    }
    out[i] = weight > 0 ? sum / weight : NaN;
  }
  return out;
}
