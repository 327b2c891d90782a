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
import { type RimLevels, rimLevels } from './rimLevel.ts';

/** A square within ink may hold a hole in it, unless its mean is so much of its core. */
const SURE = 0.65;
/** With so little of it no pixel of a square is ink. */
const PAPER = 0.1;
/** A stroke's edge is told against what it reaches this far off, in squares of 1/300 inch: beyond blur, and no further, or a pool or crossing nearby takes pale strokes off on their sides. */
const OWN_CORE = 3;
/** Of the usual core no more counts there: beside two layers of ink lie the edges of one. Chosen on seeds below 1000. */
const MOST_OF_USUAL = 1.05;

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
  const levels = rimLevels(found.densest, MOST_OF_USUAL * found.usual);
  const tall: TallMaxima = { data: new Float32Array(width), row: new Int32Array(width).fill(-1) };
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
    rimLevelsOfRow(found.smooth, y, height, sure, tall, levels, level);
    if (step === 1) {
      decideSquares(found.smooth, y * width, sure, level, found.low, mask.data);
      continue;
    }
    decide(
      pixels.ratio,
      pixels.contrast,
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

/** 1 where the square and all about it are ink all through, 2 where none of it can be, 0 along the edge. */
function tellSure(smooth: Float32Array, start: number, level: Float64Array, about: Uint8Array, out: Uint8Array): void {
  for (let x = 0; x < out.length; x++) {
    const own = smooth[start + x];
    out[x] = about[x] === 0 || own < PAPER * level[x] ? 2 : about[x] === ALL && own >= SURE * level[x] ? 1 : 0;
  }
}

/** The pixels of squares that are ink all through. */
function fillSure(sure: Uint8Array, step: number, out: Uint8Array, first: number, last: number, w: number): void {
  const width = sure.length;
  for (let x = 0; x < width; x++) {
    if (sure[x] !== 1) continue;
    const from = x;
    while (x + 1 < width && sure[x + 1] === 1) x++;
    const end = x === width - 1 ? w : (x + 1) * step;
    for (let row = first; row <= last; row++) out.fill(1, row * w + from * step, row * w + end);
  }
}

/** Largest of some rows about one, by column. */
interface TallMaxima {
  readonly data: Float32Array;
  /** About which row it was told. */
  readonly row: Int32Array;
}

/** At which contrast a stroke ends, of squares along the edge. */
function rimLevelsOfRow(
  smooth: Float32Array,
  y: number,
  height: number,
  sure: Uint8Array,
  tall: TallMaxima,
  { data, perCore }: RimLevels,
  out: Float64Array,
): void {
  const width = out.length;
  const last = data.length - 1;
  for (let x = 0; x < width; x++) {
    if (sure[x] !== 0) continue;
    const own = mostAbout(smooth, x, y, width, height, tall) * perCore;
    out[x] = data[own < last ? Math.round(own) : last];
  }
}

function mostAbout(
  smooth: Float32Array,
  x: number,
  y: number,
  width: number,
  height: number,
  { data, row }: TallMaxima,
): number {
  const from = x < OWN_CORE ? 0 : x - OWN_CORE;
  const to = x + OWN_CORE < width ? x + OWN_CORE : width - 1;
  let most = 0;
  for (let u = from; u <= to; u++) {
    if (row[u] !== y) {
      row[u] = y;
      data[u] = mostOfColumn(smooth, u, y, width, height);
    }
    if (data[u] > most) most = data[u];
  }
  return most;
}

function mostOfColumn(smooth: Float32Array, x: number, y: number, width: number, height: number): number {
  const end = (y + OWN_CORE < height ? y + OWN_CORE : height - 1) * width + x;
  let most = 0;
  for (let i = (y < OWN_CORE ? 0 : y - OWN_CORE) * width + x; i <= end; i += width) {
    if (smooth[i] > most) most = smooth[i];
  }
  return most;
}

/** Where squares are pixels they are smooth already. */
function decideSquares(
  smooth: Float32Array,
  start: number,
  sure: Uint8Array,
  level: Float64Array,
  low: number,
  out: Uint8Array,
): void {
  for (let x = 0; x < sure.length; x++) {
    if (sure[x] === 0 && smooth[start + x] >= (level[x] > low ? level[x] : low)) out[start + x] = 1;
  }
}

/** The pixels of squares along the edge, each against its own stroke's level. */
function decide(
  ratio: Float32Array,
  contrast: Float32Array,
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
  const width = sure.length;
  for (let x = 0; x < width; x++) {
    if (sure[x] !== 0) continue;
    const least = level[x] > low ? level[x] : low;
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
