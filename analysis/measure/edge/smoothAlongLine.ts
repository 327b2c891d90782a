/** Gaussian mean along a stroke's stations; missing values (NaN) are left out of it. */
import { gaussianKernel } from '../../raster/gaussian.ts';

/** @param sigma in stations; @returns as many values, NaN only where nothing is known within reach */
export function smoothed(values: Float64Array, sigma: number): Float64Array {
  const half = gaussianKernel(Math.max(0.3, sigma));
  const reach = half.length - 1;
  const kernel = new Float64Array(2 * reach + 1);
  let whole = 0;
  for (let k = 0; k < kernel.length; k++) {
    kernel[k] = half[k < reach ? reach - k : k - reach];
    whole += kernel[k];
  }
  const n = values.length;
  const out = new Float64Array(n);
  // From here on, as far as was looked, no value is missing.
  let clear = 0;
  let looked = 0;
  for (let i = 0; i < n;) {
    while (looked < n && looked <= i + 3 + reach) if (Number.isNaN(values[looked++])) clear = looked;
    if (i - reach >= clear && i + 3 + reach < n) {
      fourMeans(values, kernel, whole, i - reach, out, i);
      i += 4;
    } else {
      out[i] = meanOfKnown(values, kernel, reach, i);
      i++;
    }
  }
  return out;
}

/** Four stations at a time, none of whose values is missing: their sums do not wait for each other. */
function fourMeans(
  values: Float64Array,
  kernel: Float64Array,
  whole: number,
  from: number,
  out: Float64Array,
  i: number,
): void {
  let a = 0;
  let b = 0;
  let c = 0;
  let d = 0;
  for (let k = 0; k < kernel.length; k++) {
    const w = kernel[k];
    a += w * values[from + k];
    b += w * values[from + k + 1];
    c += w * values[from + k + 2];
    d += w * values[from + k + 3];
  }
  out[i] = a / whole;
  out[i + 1] = b / whole;
  out[i + 2] = c / whole;
  out[i + 3] = d / whole;
}

function meanOfKnown(values: Float64Array, kernel: Float64Array, reach: number, i: number): number {
  let sum = 0;
  let weight = 0;
  const to = i + reach < values.length ? i + reach : values.length - 1;
  for (let k = i < reach ? 0 : i - reach; k <= to; k++) {
    const v = values[k];
    if (Number.isNaN(v)) continue;
    const w = kernel[k - i + reach];
    sum += w * v;
    weight += w;
  }
  return weight > 0 ? sum / weight : NaN;
}
