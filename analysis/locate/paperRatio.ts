import { gainsAlong } from '../raster/lowOrderSurface.ts';
import type { LinearRaster } from '../raster/raster.ts';
import type { PaperSurface } from './paperSurface.ts';

/** A surface is smooth: gains are told once for so many pixels along a row, and for so many rows. */
export const GAIN_STEP = 8;

/** Signal over the page's paper surface, 3 a pixel. @param ratio Where it goes; the signal's own room may be given. */
export function ratioToPaper(signal: LinearRaster, paper: PaperSurface, ratio: Float32Array): void {
  const { data, widthPx, heightPx, dpi, originPx } = signal;
  const mmPerPx = 25.4 / dpi;
  const places = Math.ceil(widthPx / GAIN_STEP);
  const gains = new Float64Array(3 * places);
  for (let y = 0; y < heightPx; y++) {
    if (y % GAIN_STEP === 0) {
      const yMm = (originPx[1] + y + GAIN_STEP / 2) * mmPerPx;
      gainsAlong(paper.surface, (originPx[0] + GAIN_STEP / 2) * mmPerPx, yMm, GAIN_STEP * mmPerPx, places, gains);
    }
    timesGains(data, ratio, gains, y * widthPx, widthPx);
  }
}

/** One row of three channels times gains that hold for GAIN_STEP pixels each, into `to`. @param start First pixel of the row. */
export function timesGains(
  from: Float32Array,
  to: Float32Array,
  gains: Float64Array,
  start: number,
  widthPx: number,
): void {
  for (let x = 0, k = 0; x < widthPx; x += GAIN_STEP, k += 3) {
    const red = gains[k];
    const green = gains[k + 1];
    const blue = gains[k + 2];
    const end = 3 * (start + Math.min(widthPx, x + GAIN_STEP));
    for (let i = 3 * (start + x); i < end; i += 3) {
      to[i] = from[i] * red;
      to[i + 1] = from[i + 1] * green;
      to[i + 2] = from[i + 2] * blue;
    }
  }
}
