/**
 * The ink's pixels from its squares (coarseInk.ts): where all squares about one are ink, or none is, its pixels are as they are; only along the edge
 * are they looked at one by one.
 */
import type { CoarseMaximum } from '../raster/coarseMaximum.ts';
import { gaussianKernel } from '../raster/gaussian.ts';
import type { Mask } from '../raster/raster.ts';
import { NEW_ROOMS, type Rooms } from '../raster/rooms.ts';
import { dropSmallComponents } from '../raster/smallComponents.ts';
import { type ClearChannel, clearChannel, type CoarseInk, neutralContrast, SMOOTH_PX } from './coarseInk.ts';

/** A square within ink may hold a hole in it, unless its mean is so much of its core. */
const SURE = 0.65;

interface Pixels {
  readonly ratio: Float32Array;
  readonly contrast: Float32Array;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** @param step Pixels along a square's side. @param leastPx Smaller pieces are dust. */
export function fineMask(
  found: CoarseInk,
  step: number,
  pixels: Pixels,
  pixelNoise: readonly number[],
  leastPx: number,
  rooms: Rooms = NEW_ROOMS,
): Mask {
  const { widthPx, heightPx } = pixels;
  const { widthPx: width, heightPx: height } = found.mask;
  const mask: Mask = { data: rooms.zeroBytes(widthPx * heightPx), widthPx, heightPx };
  const channel = clearChannel(found.densest, pixelNoise);
  const about = new Uint8Array(width);
  const level = new Float64Array(width);
  const sure = new Uint8Array(width);
  const written = rowsWithInk(found.mask);
  for (let y = 0; y < height; y++) {
    if (written[y] === 0 && (written[y - 1] ?? 0) === 0 && (written[y + 1] ?? 0) === 0) continue;
    const first = y * step;
    const last = y === height - 1 ? heightPx - 1 : first + step - 1;
    sumAbout(found.mask.data, y, width, height, about);
    levelsOfRow(found.core, y, found.most, level);
    tellSure(found.smooth, y * width, level, about, sure);
    fillSure(sure, step, mask.data, first, last, widthPx);
    decide(
      pixels.ratio,
      pixels.contrast,
      about,
      sure,
      level,
      found.low,
      step,
      channel,
      mask.data,
      first,
      last,
      widthPx,
      heightPx,
    );
  }
  dropSmallComponents(mask, leastPx);
  return mask;
}

function rowsWithInk({ data, widthPx, heightPx }: Mask): Uint8Array {
  const out = new Uint8Array(heightPx);
  for (let i = data.indexOf(1); i >= 0; i = data.indexOf(1, (Math.floor(i / widthPx) + 1) * widthPx)) {
    out[Math.floor(i / widthPx)] = 1;
  }
  return out;
}

/** How many of a square and its eight neighbours are ink, for one row; beyond the raster it goes on as it ends. */
function sumAbout(data: Uint8Array, y: number, width: number, height: number, out: Uint8Array): void {
  const here = y * width;
  const above = y > 0 ? here - width : here;
  const below = y < height - 1 ? here + width : here;
  let before = data[above] + data[here] + data[below];
  let own = before;
  for (let x = 0; x < width; x++) {
    const next = x < width - 1 ? x + 1 : x;
    const after = data[above + next] + data[here + next] + data[below + next];
    out[x] = before + own + after;
    before = own;
    own = after;
  }
}

const ALL = 9;

// One row of squares at a time, told in plain numbers: what is called often is soon compiled, and once.

/** What each square's strokes reach at their cores. */
function levelsOfRow({ data, width, shift }: CoarseMaximum, y: number, most: number, out: Float64Array): void {
  const row = (y >> shift) * width;
  for (let x = 0; x < out.length; x++) {
    const own = data[row + (x >> shift)];
    out[x] = own < most ? own : most;
  }
}

/** 1 where the square and all about it are ink all through. */
function tellSure(smooth: Float32Array, start: number, level: Float64Array, about: Uint8Array, out: Uint8Array): void {
  for (let x = 0; x < out.length; x++) out[x] = about[x] === ALL && smooth[start + x] >= SURE * level[x] ? 1 : 0;
}

/** The pixels of squares that are ink all through. */
function fillSure(sure: Uint8Array, step: number, out: Uint8Array, first: number, last: number, w: number): void {
  const width = sure.length;
  for (let x = 0; x < width; x++) {
    if (sure[x] === 0) continue;
    const from = x;
    while (x + 1 < width && sure[x + 1] === 1) x++;
    const end = x === width - 1 ? w : (x + 1) * step;
    for (let row = first; row <= last; row++) out.fill(1, row * w + from * step, row * w + end);
  }
}

/** The pixels of squares along the edge, each against half of its own stroke's core. */
function decide(
  ratio: Float32Array,
  contrast: Float32Array,
  about: Uint8Array,
  sure: Uint8Array,
  level: Float64Array,
  low: number,
  step: number,
  channel: ClearChannel | null,
  out: Uint8Array,
  first: number,
  last: number,
  w: number,
  h: number,
): void {
  const width = about.length;
  for (let x = 0; x < width; x++) {
    if (about[x] === 0 || sure[x] === 1) continue;
    const half = 0.5 * level[x];
    const least = half > low ? half : low;
    const end = x === width - 1 ? w : (x + 1) * step;
    for (let v = first; v <= last; v++) {
      const isInside = v >= REACH && v < h - REACH;
      for (let u = x * step; u < end; u++) {
        const i = v * w + u;
        const plain = isInside && u >= REACH && u < w - REACH;
        let found = plain ? blurred(contrast, i, w) : blurredNearBorder(contrast, u, v, w, h);
        if (channel !== null) found -= neutralContrast(ratio, 3 * i, channel);
        if (found >= least) out[i] = 1;
      }
    }
  }
}

/** As raster/gaussian.ts blurs, of one pixel. */
const KERNEL = gaussianKernel(SMOOTH_PX);
const [K0, K1, K2] = KERNEL;
const REACH = KERNEL.length - 1;

function blurred(values: Float32Array, i: number, w: number): number {
  return (
    K0 * acrossAt(values, i) +
    K1 * (acrossAt(values, i - w) + acrossAt(values, i + w)) +
    K2 * (acrossAt(values, i - 2 * w) + acrossAt(values, i + 2 * w))
  );
}

function acrossAt(values: Float32Array, i: number): number {
  return K0 * values[i] + K1 * (values[i - 1] + values[i + 1]) + K2 * (values[i - 2] + values[i + 2]);
}

function blurredNearBorder(values: Float32Array, x: number, y: number, w: number, h: number): number {
  let sum = 0;
  for (let v = -REACH; v <= REACH; v++) {
    for (let u = -REACH; u <= REACH; u++) {
      sum += KERNEL[Math.abs(v)] * KERNEL[Math.abs(u)] * values[mirrored(y + v, h) * w + mirrored(x + u, w)];
    }
  }
  return sum;
}

/** A place beyond the end is read as far inside it. */
function mirrored(i: number, n: number): number {
  return i < 0 ? Math.min(n - 1, -i - 1) : i >= n ? Math.max(0, 2 * n - i - 1) : i;
}
