/**
 * Where the signs of dark, light and counted ink go: sparse, each on a pixel of its class, and at the same places of the scan
 * however the view moves at one zoom.
 */
import { INK_MARKS } from '../../../analysis/measure/ink.ts';
import type { DotView, MarksRaster } from './marksRaster.ts';

/** Dots of the picture. */
export type Place = readonly [x: number, y: number];
export interface SignPlaces {
  readonly dark: readonly Place[];
  readonly light: readonly Place[];
  readonly sheen: readonly Place[];
  /** Counted, but neither end. */
  readonly between: readonly Place[];
}

/** Places tried in each cell, along either side. */
const TRIES = 9;
/** As shares of the cell, those nearest to its middle first. */
const TRIED: readonly Place[] = Array.from({ length: TRIES ** 2 }, (_, i): Place => {
  return [((i % TRIES) + 0.5) / TRIES, (Math.floor(i / TRIES) + 0.5) / TRIES];
}).toSorted((p, q) => fromMiddle(p) - fromMiddle(q));

/** @param spacing of the signs, dots: one cell of that size on the scan gets one sign of each end at most. */
export function signPlaces(raster: MarksRaster, view: DotView, spacing: number): SignPlaces {
  const cellPx = spacing * view.pxPerDot;
  const [x, y, width, height] = raster.boxPx;
  const places = { dark: [] as Place[], light: [] as Place[], sheen: [] as Place[], between: [] as Place[] };
  const first = (startPx: number, boxPx: number): number => Math.floor(Math.max(startPx, boxPx) / cellPx);
  const right = Math.min(view.leftPx + view.width * view.pxPerDot, x + width);
  const bottom = Math.min(view.topPx + view.height * view.pxPerDot, y + height);
  for (let row = first(view.topPx, y); row * cellPx < bottom; row++) {
    for (let column = first(view.leftPx, x); column * cellPx < right; column++) {
      const found = inCell(raster, column * cellPx, row * cellPx, cellPx);
      const dot = ([sx, sy]: Place): Place => [(sx - view.leftPx) / view.pxPerDot, (sy - view.topPx) / view.pxPerDot];
      // The ends say more than the middle, so they choose first, and only one sign goes in a cell.
      const end = (column + row) % 2 === 0 ? (found.dark ?? found.light) : (found.light ?? found.dark);
      if (found.sheen !== null) places.sheen.push(dot(found.sheen));
      else if (end === null) {
        if (found.between !== null) places.between.push(dot(found.between));
      } else if (end === found.dark) places.dark.push(dot(end));
      else places.light.push(dot(end));
    }
  }
  return places;
}

function fromMiddle([dx, dy]: Place): number {
  return (dx - 0.5) ** 2 + (dy - 0.5) ** 2;
}

interface Found {
  readonly dark: Place | null;
  readonly light: Place | null;
  readonly sheen: Place | null;
  readonly between: Place | null;
}

/** In one square of the scan, the tried place of each class that is nearest to the square's middle. Nothing is made for a place that is only tried. */
function inCell(raster: MarksRaster, leftPx: number, topPx: number, cellPx: number): Found {
  const found: { -readonly [K in keyof Found]: Found[K] } = { dark: null, light: null, sheen: null, between: null };
  for (const [dx, dy] of TRIED) {
    const kind = kindAt(raster, leftPx + dx * cellPx, topPx + dy * cellPx);
    if (kind !== null) found[kind] ??= [leftPx + dx * cellPx, topPx + dy * cellPx];
  }
  return found;
}

function kindAt({ data, columns, rows, boxPx }: MarksRaster, x: number, y: number): keyof Found | null {
  const column = Math.floor(((x - boxPx[0]) / boxPx[2]) * columns);
  const row = Math.floor(((y - boxPx[1]) / boxPx[3]) * rows);
  if (column < 0 || row < 0 || column >= columns || row >= rows) return null;
  const mark = data[row * columns + column];
  if (mark === INK_MARKS.dark) return 'dark';
  if (mark === INK_MARKS.light) return 'light';
  if (mark === INK_MARKS.sheen) return 'sheen';
  return mark === INK_MARKS.counted ? 'between' : null;
}
