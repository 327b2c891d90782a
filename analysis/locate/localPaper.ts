/** What the page's paper surface leaves over within one region: the paper between and around the strokes themselves. */
import { fitSurface, surfaceAt } from '../raster/lowOrderSurface.ts';
import { gaussianKernel } from '../raster/gaussian.ts';
import type { Ink } from './inkMask.ts';

/** Ink, its halo and its blur reach no farther than this, mm. */
const CLEAR_OF_INK_MM = 0.7;
const CELL_MM = 1;
/** Fewer cells of bare paper than this say nothing of a slope. */
const LEAST_CELLS = 30;

/** Pixels of bare paper in the region, 1 = bare. */
export function bareMask(ink: Ink, dpi: number): Uint8Array {
  const clear = (CLEAR_OF_INK_MM * dpi) / 25.4;
  const bare = new Uint8Array(ink.awayPx.length);
  for (let i = 0; i < bare.length; i++) if (ink.awayPx[i] > clear) bare[i] = 1;
  return bare;
}

/**
 * Divides `ink.ratio`, in place, by a plane through the region's own bare paper; leaves it when there is too little of it.
 * Returns the plane's largest departure from 1.
 */
export function levelToLocalPaper(ink: Ink, bare: Uint8Array, dpi: number): number {
  const { widthPx: w, heightPx: h } = ink.mask;
  const size = Math.max(2, Math.round((CELL_MM * dpi) / 25.4));
  const places: (readonly [number, number])[] = [];
  const means: (readonly [number, number, number])[] = [];
  for (let top = 0; top + size <= h; top += size) {
    for (let left = 0; left + size <= w; left += size) {
      const sum = [0, 0, 0];
      let n = 0;
      for (let y = top; y < top + size; y++) {
        for (let x = left; x < left + size; x++) {
          const i = y * w + x;
          if (!bare[i]) continue;
          n++;
          for (let c = 0; c < 3; c++) sum[c] += ink.ratio[3 * i + c];
        }
      }
      if (n < (size * size) / 2) continue;
      places.push([left + size / 2, top + size / 2]);
      means.push([sum[0] / n, sum[1] / n, sum[2] / n]);
    }
  }
  if (places.length < LEAST_CELLS) return 0;
  let departure = 0;
  const plane = fitSurface(places, means, 1);
  const at = new Float64Array(3);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      if (x % 8 === 0) surfaceAt(plane, x + 4, y + 0.5, at);
      const i = 3 * (y * w + x);
      for (let c = 0; c < 3; c++) {
        ink.ratio[i + c] /= at[c];
        departure = Math.max(departure, Math.abs(at[c] - 1));
      }
    }
  }
  return departure;
}

/**
 * Relative standard deviation of bare paper after the smoothing that strokes get (a Gaussian along one direction): what
 * fibres and scanner noise alone would show as variation. Null with too little bare paper.
 */
export function smoothedPaperNoise(ink: Ink, bare: Uint8Array, sigmaPx: number): number | null {
  const { widthPx: w, heightPx: h } = ink.mask;
  const kernel = gaussianKernel(Math.max(0.5, sigmaPx));
  const radius = kernel.length - 1;
  let n = 0;
  let sum = 0;
  let sumSquares = 0;
  for (let y = 0; y < h; y += 2) {
    let run = 0;
    for (let x = 0; x < w; x++) {
      run = bare[y * w + x] ? run + 1 : 0;
      if (run < 2 * radius + 1 || x % 3 !== 0) continue;
      const centre = y * w + x - radius;
      let v = 0;
      for (let s = -radius; s <= radius; s++) {
        const i = 3 * (centre + s);
        v += (kernel[Math.abs(s)] * (ink.ratio[i] + ink.ratio[i + 1] + ink.ratio[i + 2])) / 3;
      }
      n++;
      sum += v;
      sumSquares += v * v;
    }
  }
  if (n < 200) return null;
  const mean = sum / n;
  return Math.sqrt(Math.max(0, sumSquares / n - mean * mean)) / mean;
}
