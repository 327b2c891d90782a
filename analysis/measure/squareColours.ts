/** Colours of the small squares that the pixels looked at stand for: sheen is looked for in them. */
import type { Mask } from '../raster/raster.ts';
import { inkColours, type InkSample } from './inkSample.ts';
import type { RegionInput } from './region.ts';

/** So many pixels at a time: what is called often is soon compiled. */
const CHUNK = 1024;

/** XYZ of the square that each counted pixel stands for, as on the reference paper, neither smoothed along strokes nor over a swab; what lies beside two layers left out. */
export function squareColours(sample: InkSample, input: RegionInput): Float32Array {
  const { indices, counted, interior, ink } = sample;
  if (counted.stepPx === 1) return sample.xyz;
  const open = without(interior, sample.besideTwo);
  const out = new Float32Array(3 * indices.length);
  for (let from = 0; from < indices.length; from += CHUNK) {
    meanSquares(ink.ratio, open, counted.stepPx, indices, from, out);
  }
  return inkColours(out, input.bare!, input);
}

function meanSquares(
  ratio: Float32Array,
  { data, widthPx, heightPx }: Mask,
  stepPx: number,
  indices: Int32Array,
  from: number,
  out: Float32Array,
): void {
  for (let k = from, end = Math.min(indices.length, from + CHUNK); k < end; k++) {
    const left = stepPx * Math.floor((indices[k] % widthPx) / stepPx);
    const top = stepPx * Math.floor(indices[k] / widthPx / stepPx);
    let [r, g, b, n] = [0, 0, 0, 0];
    for (let y = top, below = Math.min(heightPx, top + stepPx); y < below; y++) {
      for (let p = y * widthPx + left, right = y * widthPx + Math.min(widthPx, left + stepPx); p < right; p++) {
        if (data[p] === 0) continue;
        r += ratio[3 * p];
        g += ratio[3 * p + 1];
        b += ratio[3 * p + 2];
        n++;
      }
    }
    out[3 * k] = r / Math.max(1, n);
    out[3 * k + 1] = g / Math.max(1, n);
    out[3 * k + 2] = b / Math.max(1, n);
  }
}

function without(mask: Mask, pixels: readonly number[]): Mask {
  if (pixels.length === 0) return mask;
  const data = mask.data.slice();
  for (const i of pixels) data[i] = 0;
  return { ...mask, data };
}
