import { gainsAlong, type LowOrderSurface, surfaceNumbers } from '../raster/lowOrderSurface.ts';
import type { LinearRaster } from '../raster/raster.ts';
import type { Densest } from './coarseInk.ts';
import type { PaperSurface } from './paperSurface.ts';

/** A surface is smooth: gains are told once for so many pixels along a row, and for so many rows. */
export const GAIN_STEP = 8;

type Signals = Pick<LinearRaster, 'data' | 'widthPx' | 'heightPx' | 'dpi' | 'originPx'>;

/** Where contrast goes, a value per pixel. */
export interface ContrastRoom {
  readonly data: Float32Array;
  readonly direction: Densest['direction'];
}

/** A region's own plane, in units of squares of so many pixels a side. */
export interface OwnPlane {
  readonly plane: LowOrderSurface;
  readonly step: number;
}

/**
 * Signal over the page's paper surface, 3 a pixel. @param ratio Where it goes; the signal's own room may be given.
 * @param own What the page's surface leaves of the region's own paper is divided out as well. @param contrast Is told from each row once it is written.
 */
export function ratioToPaper(
  signal: Signals,
  paper: PaperSurface,
  ratio: Float32Array,
  own: OwnPlane | null = null,
  contrast: ContrastRoom | null = null,
): void {
  const { data, widthPx, heightPx, dpi, originPx } = signal;
  const mmPerPx = 25.4 / dpi;
  const places = Math.ceil(widthPx / GAIN_STEP);
  const gains = new Float64Array(3 * places);
  const surface = surfaceNumbers(paper.surface);
  const ownSurface = own && surfaceNumbers(own.plane);
  const ownGains = own && new Float64Array(3 * places);
  const xMm = (originPx[0] + GAIN_STEP / 2) * mmPerPx;
  for (let y = 0; y < heightPx; y += GAIN_STEP) {
    const yMm = (originPx[1] + y + GAIN_STEP / 2) * mmPerPx;
    gainsAlong(surface, xMm, yMm, GAIN_STEP * mmPerPx, places, gains);
    if (ownSurface && ownGains) {
      planeGains(ownSurface, own.step, y, places, ownGains);
      timesOwn(gains, ownGains);
    }
    rowsTimesGains(data, ratio, gains, y, Math.min(heightPx, y + GAIN_STEP), widthPx, contrast);
  }
}

// Nothing below is told of surfaces and papers themselves: what is called often sees plain numbers.

function timesOwn(gains: Float64Array, own: Float64Array): void {
  for (let k = 0; k < gains.length; k++) gains[k] *= own[k];
}

/** Of a row of pixels, for every so many of them. @param plane As surfaceNumbers tells it. @returns the plane's largest departure from 1. */
export function planeGains(plane: Float64Array, step: number, y: number, places: number, out: Float64Array): number {
  const half = GAIN_STEP / 2 / step;
  return gainsAlong(plane, half, y / step + half, GAIN_STEP / step, places, out);
}

/** Some rows of three channels times gains, each of which holds for GAIN_STEP pixels of all of them, into `to`. */
export function rowsTimesGains(
  from: Float32Array,
  to: Float32Array,
  gains: Float64Array,
  first: number,
  end: number,
  widthPx: number,
  contrast: ContrastRoom | null,
): void {
  for (let y = first; y < end; y++) {
    if (contrast === null) timesGains(from, to, gains, y * widthPx, widthPx);
    else withContrast(from, to, gains, contrast.direction, contrast.data, y * widthPx, widthPx);
  }
}

/** As timesGains and writeContrast one after the other, to the last bit: contrast is that of the rounded ratio. */
function withContrast(
  from: Float32Array,
  to: Float32Array,
  gains: Float64Array,
  [red, green, blue]: Densest['direction'],
  contrast: Float32Array,
  start: number,
  widthPx: number,
): void {
  const whole = red + green + blue;
  for (let x = 0, k = 0; x < widthPx; x += GAIN_STEP, k += 3) {
    const redGain = gains[k];
    const greenGain = gains[k + 1];
    const blueGain = gains[k + 2];
    const end = start + Math.min(widthPx, x + GAIN_STEP);
    for (let p = start + x, i = 3 * p; p < end; p++, i += 3) {
      const r = Math.fround(from[i] * redGain);
      const g = Math.fround(from[i + 1] * greenGain);
      const b = Math.fround(from[i + 2] * blueGain);
      to[i] = r;
      to[i + 1] = g;
      to[i + 2] = b;
      contrast[p] = whole - red * r - green * g - blue * b;
    }
  }
}

/** @param start First pixel of the row. */
function timesGains(from: Float32Array, to: Float32Array, gains: Float64Array, start: number, widthPx: number): void {
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
