/** What the page's paper surface leaves over within one region: the paper between and around the strokes themselves. */
import { fitSurface, type LowOrderSurface, surfaceNumbers } from '../raster/lowOrderSurface.ts';
import { gaussianKernel } from '../raster/gaussian.ts';
import { selectKth } from '../raster/select.ts';
import { type ContrastRoom, GAIN_STEP, planeGains, rowsTimesGains } from './paperRatio.ts';
import type { CoarseRatio } from './coarseRatio.ts';
import type { Ink } from './inkMask.ts';
import { Z90 } from '../scatter.ts';

/** Ink, its halo and its blur reach no farther than this, mm. */
const CLEAR_OF_INK_MM = 0.7;
const CELL_MM = 1;
/** Fewer cells of bare paper than this say nothing of a slope. */
const LEAST_CELLS = 30;

/** Ink and its halo reach no farther than this, px. */
export function clearOfInkPx(dpi: number): number {
  return (CLEAR_OF_INK_MM * dpi) / 25.4;
}

/** 1 on paper that lies further than so much from the ink. */
export function bareBeyond(away: Float32Array, least: number, widthPx: number): Uint8Array {
  const bare = new Uint8Array(away.length);
  for (let start = 0; start < bare.length; start += widthPx) markBeyond(away, least, bare, start, start + widthPx);
  return bare;
}

// Rows and cells are worked on by functions of their own: what is called often is soon compiled.

function markBeyond(away: Float32Array, least: number, out: Uint8Array, from: number, to: number): void {
  for (let i = from; i < to; i++) out[i] = away[i] > least ? 1 : 0;
}

/** A plane through a region's own bare paper, in units of a coarse raster's pixels; null when there is too little of it. @param bare By those pixels. */
export function localPlane(coarse: CoarseRatio, bare: Uint8Array): LowOrderSurface | null {
  const { data, widthPx: w, heightPx: h, dpi } = coarse;
  const size = Math.max(2, Math.round((CELL_MM * dpi) / 25.4));
  const sums = new Float64Array(3);
  const places: (readonly [number, number])[] = [];
  const means: (readonly [number, number, number])[] = [];
  for (let top = 0; top + size <= h; top += size) {
    for (let left = 0; left + size <= w; left += size) {
      const n = addBare(data, bare, top * w + left, size, w, sums);
      if (n < (size * size) / 2) continue;
      places.push([left + size / 2, top + size / 2]);
      means.push([sums[0] / n, sums[1] / n, sums[2] / n]);
    }
  }
  return places.length < LEAST_CELLS ? null : fitSurface(places, means, 1);
}

/**
 * Divides a raster by the plane, in place. @param step Its pixels along a side of those that the plane is told in.
 * @param contrast Is told from each row once it is level. @returns the plane's largest departure from 1.
 */
export function levelTo(
  plane: LowOrderSurface,
  { data, widthPx: w, heightPx: h }: Pick<CoarseRatio, 'data' | 'widthPx' | 'heightPx'>,
  step: number,
  contrast: ContrastRoom | null = null,
): number {
  let departure = 0;
  const count = Math.ceil(w / GAIN_STEP);
  const gains = new Float64Array(3 * count);
  const numbers = surfaceNumbers(plane);
  for (let y = 0; y < h; y += GAIN_STEP) {
    departure = Math.max(departure, planeGains(numbers, step, y, count, gains));
    rowsTimesGains(data, data, gains, y, Math.min(h, y + GAIN_STEP), w, contrast);
  }
  return departure;
}

/** Sums of the bare pixels of a square. @returns how many there are */
function addBare(
  ratio: Float32Array,
  bare: Uint8Array,
  from: number,
  size: number,
  w: number,
  sums: Float64Array,
): number {
  let red = 0;
  let green = 0;
  let blue = 0;
  let n = 0;
  for (let row = from, end = from + size * w; row < end; row += w) {
    for (let i = row; i < row + size; i++) {
      if (bare[i] === 0) continue;
      n++;
      red += ratio[3 * i];
      green += ratio[3 * i + 1];
      blue += ratio[3 * i + 2];
    }
  }
  sums[0] = red;
  sums[1] = green;
  sums[2] = blue;
  return n;
}

/** Of a large region's rows so many pixels tell the scatter. */
const ENOUGH_PX = 500_000;

/**
 * Relative standard deviation of bare paper after the smoothing that strokes get (a Gaussian along one direction): what
 * fibres and scanner noise alone would show as variation. From the 10th and the 90th percentile, as shading is, so that printed dots and rims of ink do not count. Null with
 * too little bare paper.
 */
export function smoothedPaperNoise(ink: Pick<Ink, 'mask' | 'ratio'>, bare: Uint8Array, sigmaPx: number): number | null {
  const { widthPx: w, heightPx: h } = ink.mask;
  const { ratio } = ink;
  const kernel = gaussianKernel(Math.max(0.5, sigmaPx));
  const rows = Math.max(2, Math.floor((w * h) / ENOUGH_PX));
  const room = new Float32Array(Math.ceil(h / rows) * Math.ceil(w / 3));
  let n = 0;
  for (let y = 0; y < h; y += rows) n = addSmoothed(ratio, bare, y * w, w, kernel, room, n);
  if (n < 200) return null;
  const middle = Math.round(0.5 * (n - 1));
  const half = selectKth(room, n, middle);
  // Those below and those above it lie to either side of it now.
  const low = selectKth(room, middle, Math.round(0.1 * (n - 1)));
  const above = room.subarray(middle + 1, n);
  const high = selectKth(above, above.length, Math.round(0.9 * (n - 1)) - middle - 1);
  return (high - low) / (2 * Z90 * half);
}

/** One row's smoothed bare pixels, behind the first n. @returns how many there are then */
function addSmoothed(
  ratio: Float32Array,
  bare: Uint8Array,
  start: number,
  w: number,
  kernel: Float64Array,
  out: Float32Array,
  n: number,
): number {
  const radius = kernel.length - 1;
  let run = 0;
  for (let x = 0; x < w; x++) {
    run = bare[start + x] ? run + 1 : 0;
    if (run < 2 * radius + 1 || x % 3 !== 0) continue;
    const centre = start + x - radius;
    let v = 0;
    for (let s = -radius; s <= radius; s++) {
      const i = 3 * (centre + s);
      v += (kernel[s < 0 ? -s : s] * (ratio[i] + ratio[i + 1] + ratio[i + 2])) / 3;
    }
    out[n++] = v;
  }
  return n;
}
