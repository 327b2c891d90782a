/** What the page's paper surface leaves over within one region: the paper between and around the strokes themselves. */
import { fitSurface, gainsAlong } from '../raster/lowOrderSurface.ts';
import { gaussianKernel } from '../raster/gaussian.ts';
import type { Ink } from './inkMask.ts';

/** Ink, its halo and its blur reach no farther than this, mm. */
const CLEAR_OF_INK_MM = 0.7;
const CELL_MM = 1;
/** A plane is told at every so many pixels along a row. */
const STEP = 8;
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
  const { ratio } = ink;
  const size = Math.max(2, Math.round((CELL_MM * dpi) / 25.4));
  const places: (readonly [number, number])[] = [];
  const means: (readonly [number, number, number])[] = [];
  for (let top = 0; top + size <= h; top += size) {
    for (let left = 0; left + size <= w; left += size) {
      let red = 0;
      let green = 0;
      let blue = 0;
      let n = 0;
      for (let y = top; y < top + size; y++) {
        for (let x = left; x < left + size; x++) {
          const i = y * w + x;
          if (!bare[i]) continue;
          n++;
          red += ratio[3 * i];
          green += ratio[3 * i + 1];
          blue += ratio[3 * i + 2];
        }
      }
      if (n < (size * size) / 2) continue;
      places.push([left + size / 2, top + size / 2]);
      means.push([red / n, green / n, blue / n]);
    }
  }
  if (places.length < LEAST_CELLS) return 0;
  let departure = 0;
  const plane = fitSurface(places, means, 1);
  const count = Math.ceil(w / STEP);
  const gains = new Float64Array(3 * count);
  for (let y = 0; y < h; y++) {
    departure = Math.max(departure, gainsAlong(plane, STEP / 2, y + 0.5, STEP, count, gains));
    for (let x = 0, k = 0; x < w; x += STEP, k += 3) {
      const red = gains[k];
      const green = gains[k + 1];
      const blue = gains[k + 2];
      const end = 3 * (y * w + Math.min(w, x + STEP));
      for (let i = 3 * (y * w + x); i < end; i += 3) {
        ratio[i] *= red;
        ratio[i + 1] *= green;
        ratio[i + 2] *= blue;
      }
    }
  }
  return departure;
}

/** Of a large region's rows so many pixels tell the scatter. */
const ENOUGH_PX = 500_000;

/**
 * Relative standard deviation of bare paper after the smoothing that strokes get (a Gaussian along one direction): what
 * fibres and scanner noise alone would show as variation. Null with too little bare paper.
 */
export function smoothedPaperNoise(ink: Ink, bare: Uint8Array, sigmaPx: number): number | null {
  const { widthPx: w, heightPx: h } = ink.mask;
  const { ratio } = ink;
  const kernel = gaussianKernel(Math.max(0.5, sigmaPx));
  const radius = kernel.length - 1;
  let n = 0;
  let sum = 0;
  let sumSquares = 0;
  const rows = Math.max(2, Math.floor((w * h) / ENOUGH_PX));
  for (let y = 0; y < h; y += rows) {
    let run = 0;
    for (let x = 0; x < w; x++) {
      run = bare[y * w + x] ? run + 1 : 0;
      if (run < 2 * radius + 1 || x % 3 !== 0) continue;
      const centre = y * w + x - radius;
      let v = 0;
      for (let s = -radius; s <= radius; s++) {
        const i = 3 * (centre + s);
        v += (kernel[s < 0 ? -s : s] * (ratio[i] + ratio[i + 1] + ratio[i + 2])) / 3;
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
