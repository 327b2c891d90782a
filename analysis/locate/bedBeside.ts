/**
 * A box that runs over the paper's edge holds a piece of the scanner's bed or lid. Dark as it is it would pass for the densest ink: it ends along a
 * straight line that runs from border to border of the box, and is one grey all over, as no ink is.
 */
import { surfaceAt } from '../raster/lowOrderSurface.ts';
import type { LinearRaster } from '../raster/raster.ts';
import { median } from '../quantile.ts';
import { mean } from '../scatter.ts';
import type { PaperSurface } from './paperSurface.ts';

/** All in shares of the paper's signal, for each channel; common practice, no source. */
const MOST_LIGHT = 0.5;
/** … between the bed's channels, and between the box's border and the paper's edge. */
const LEAST_GREY = 0.06;
const LEAST_EVEN = 0.03;
/** Rows that are looked at, mm apart, and of them what share must begin on the bed, and end on the line. */
const ROW_MM = 0.25;
const MOST_ROWS = 0.97;
const ON_LINE = 0.8;
/** A cut edge keeps within so much of a line, whichever is more; a brush's end does not. */
const OFF_LINE_MM = 0.06;
const OFF_LINE_PX = 0.25;
/** The steepest paper that is still laid square, as a slope. */
const STEEPEST = 0.15;
/** Less is a sliver (borderSlivers.ts). */
const LEAST_MM = 0.25;
/** The paper's edge throws a shadow and is blurred: so much of it goes with the bed. */
const SHADOW_MM = 0.4;

interface Side {
  /** Rows that run inwards from the side, and pixels along each. */
  readonly rows: number;
  readonly length: number;
  readonly pixel: (row: number, along: number) => number;
}

/** 1 where a pixel lies beyond the paper's edge or in its shadow; null on an ordinary box. */
export function bedBeside(signal: LinearRaster, paper: PaperSurface): Uint8Array | null {
  let bed: Uint8Array | null = null;
  for (const side of sidesOf(signal)) {
    const edge = edgeAlong(side, signal, paper);
    if (edge === null) continue;
    bed ??= new Uint8Array(signal.widthPx * signal.heightPx);
    const shadowPx = (SHADOW_MM * signal.dpi) / 25.4;
    for (let row = 0; row < side.rows; row++) {
      const end = Math.min(side.length, Math.ceil(edge(row) + shadowPx));
      for (let along = 0; along < end; along++) bed[side.pixel(row, along)] = 1;
    }
  }
  return bed;
}

/** The same box with bare paper in the bed's place. @param into Where it goes; the signal's own data may be given. */
export function paperOverBed(
  signal: LinearRaster,
  paper: PaperSurface,
  bed: Uint8Array,
  into: Float32Array,
): LinearRaster {
  const { widthPx, dpi, originPx } = signal;
  if (into !== signal.data) into.set(signal.data);
  const mmPerPx = 25.4 / dpi;
  const white = new Float64Array(3);
  for (let i = 0; i < bed.length; i++) {
    if (bed[i] === 0) continue;
    const xMm = (originPx[0] + (i % widthPx) + 0.5) * mmPerPx;
    const yMm = (originPx[1] + Math.floor(i / widthPx) + 0.5) * mmPerPx;
    surfaceAt(paper.surface, xMm, yMm, white);
    into.set(white, 3 * i);
  }
  return { ...signal, data: into };
}

function sidesOf({ widthPx: w, heightPx: h }: LinearRaster): readonly Side[] {
  return [
    { rows: h, length: w, pixel: (y, x) => y * w + x },
    { rows: h, length: w, pixel: (y, x) => y * w + w - 1 - x },
    { rows: w, length: h, pixel: (x, y) => y * w + x },
    { rows: w, length: h, pixel: (x, y) => (h - 1 - y) * w + x },
  ];
}

/** Where the paper's edge lies along each row, px from the side; null without bed there. */
function edgeAlong(side: Side, signal: LinearRaster, paper: PaperSurface): ((row: number) => number) | null {
  const share = shareOf(signal, paper);
  const step = Math.max(1, Math.round((ROW_MM * signal.dpi) / 25.4));
  const rows = Array.from({ length: Math.floor(side.rows / step) }, (_, k) => k * step);
  const onBed = rows.filter((row) => isBed(share(side.pixel(row, 0))));
  if (rows.length < 8 || onBed.length < MOST_ROWS * rows.length) return null;
  const ends = onBed.flatMap((row) => {
    const end = endOf(side, row, share);
    return end === null ? [] : [{ row, end }];
  });
  if (ends.length < ON_LINE * rows.length) return null;
  const line = lineThrough(ends);
  const pxPerMm = signal.dpi / 25.4;
  const near = ends.filter(
    ({ row, end }) => Math.abs(end - line.at(row)) < Math.max(OFF_LINE_PX, OFF_LINE_MM * pxPerMm),
  );
  if (near.length < ON_LINE * rows.length || Math.abs(line.slope) > STEEPEST) return null;
  if (median(near.map(({ end }) => end)) < LEAST_MM * pxPerMm) return null;
  return isEven(side, near, share) ? line.at : null;
}

type Share = (pixel: number) => readonly number[];

/** Of the paper's own signal, each channel. The paper is smooth: one value serves a side. */
function shareOf({ data, widthPx, heightPx, dpi, originPx }: LinearRaster, { surface }: PaperSurface): Share {
  const [x, y] = [originPx[0] + widthPx / 2, originPx[1] + heightPx / 2];
  const white = new Float64Array(3);
  surfaceAt(surface, (x * 25.4) / dpi, (y * 25.4) / dpi, white);
  return (pixel) => [0, 1, 2].map((c) => data[3 * pixel + c] / white[c]);
}

function isBed(share: readonly number[]): boolean {
  return Math.max(...share) < MOST_LIGHT && Math.max(...share) - Math.min(...share) < LEAST_GREY;
}

/** Where along a row there is as much paper as bed, px from the side; null where there is no paper. */
function endOf({ length, pixel }: Side, row: number, share: Share): number | null {
  let before = mean(share(pixel(row, 0)));
  const half = (1 + before) / 2;
  for (let along = 1; along < length; along++) {
    const here = mean(share(pixel(row, along)));
    if (here > half) return along + 0.5 - (here - half) / (here - before);
    before = here;
  }
  return null;
}

interface End {
  readonly row: number;
  readonly end: number;
}

/** By the median slope of pairs half the side apart (Theil 1950, Sen 1968): ink that runs to the paper's edge does not bend it. */
function lineThrough(ends: readonly End[]): { readonly slope: number; readonly at: (row: number) => number } {
  const half = Math.floor(ends.length / 2);
  const slope = median(ends.slice(half).map(({ row, end }, k) => (end - ends[k].end) / Math.max(1, row - ends[k].row)));
  const from = median(ends.map(({ row, end }) => end - slope * row));
  return { slope, at: (row) => from + slope * row };
}

/** One grey from the border to the edge: brushed ink pools and thins. */
function isEven({ pixel }: Side, ends: readonly End[], share: Share): boolean {
  const levels = [0, 1 / 3, 2 / 3].map((part) => {
    const of = ends.map(({ row, end }) => mean(share(pixel(row, Math.floor(part * end)))));
    return { middle: median(of), off: of };
  });
  const middles = levels.map(({ middle }) => middle);
  if (Math.max(...middles) - Math.min(...middles) > LEAST_EVEN) return false;
  return levels.every(({ middle, off }) => median(off.map((v) => Math.abs(v - middle))) < LEAST_EVEN / 2);
}
