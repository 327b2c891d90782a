/**
 * The ink's pixels from its squares (coarseInk.ts): where all squares about one are ink, or none is, its pixels are as they are; only along the edge
 * are they looked at one by one.
 */
import { gaussianKernel } from '../raster/gaussian.ts';
import type { Mask } from '../raster/raster.ts';
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
): Mask {
  const { widthPx, heightPx } = pixels;
  const { widthPx: width, heightPx: height } = found.mask;
  const mask: Mask = { data: new Uint8Array(widthPx * heightPx), widthPx, heightPx };
  const channel = clearChannel(found.densest, pixelNoise);
  const about = new Uint8Array(width);
  for (let y = 0; y < height; y++) {
    const first = y * step;
    const last = y === height - 1 ? heightPx - 1 : first + step - 1;
    sumAbout(found.mask.data, y, width, height, about);
    fillSure(found, y, about, step, mask, first, last);
    decide(found, y, about, step, pixels, channel, mask, first, last);
  }
  dropSmallComponents(mask, leastPx);
  return mask;
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

function isSure({ smooth, core, most }: CoarseInk, x: number, y: number, width: number): boolean {
  const own = core.data[(y >> core.shift) * core.width + (x >> core.shift)];
  return smooth[y * width + x] >= SURE * (own < most ? own : most);
}

/** One row of squares: the pixels of those that are ink all through. */
function fillSure(
  found: CoarseInk,
  y: number,
  about: Uint8Array,
  step: number,
  { data, widthPx }: Mask,
  first: number,
  last: number,
): void {
  const width = about.length;
  for (let x = 0; x < width; x++) {
    if (about[x] !== ALL || !isSure(found, x, y, width)) continue;
    const from = x;
    while (x + 1 < width && about[x + 1] === ALL && isSure(found, x + 1, y, width)) x++;
    const end = x === width - 1 ? widthPx : (x + 1) * step;
    for (let row = first; row <= last; row++) data.fill(1, row * widthPx + from * step, row * widthPx + end);
  }
}

/** One row of squares: the pixels of those along the edge, each against half of its own stroke's core. */
function decide(
  found: CoarseInk,
  y: number,
  about: Uint8Array,
  step: number,
  { ratio, contrast, widthPx: w, heightPx: h }: Pixels,
  channel: ClearChannel | null,
  { data }: Mask,
  first: number,
  last: number,
): void {
  const { core, most, low } = found;
  const coreRow = (y >> core.shift) * core.width;
  const width = about.length;
  for (let x = 0; x < width; x++) {
    if (about[x] === 0 || (about[x] === ALL && isSure(found, x, y, width))) continue;
    const own = core.data[coreRow + (x >> core.shift)];
    const half = 0.5 * (own < most ? own : most);
    const least = half > low ? half : low;
    const end = x === width - 1 ? w : (x + 1) * step;
    for (let v = first; v <= last; v++) {
      const isInside = v >= REACH && v < h - REACH;
      for (let u = x * step; u < end; u++) {
        const i = v * w + u;
        const plain = isInside && u >= REACH && u < w - REACH;
        let level = plain ? blurred(contrast, i, w) : blurredNearBorder(contrast, u, v, w, h);
        if (channel !== null) level -= neutralContrast(ratio, 3 * i, channel);
        if (level >= least) data[i] = 1;
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
