/**
 * Which of the pixels that count are looked at for colour. Finer than some step the pixels of one place say the same, since the scanner's own blur and the
 * smoothing along strokes hang them together: of each small square one is enough.
 */
import { maskPixels } from '../raster/maskPixels.ts';
import type { Mask } from '../raster/raster.ts';

/** So many pixels an inch tell the colours of strokes; finer scans are looked at in some of their pixels (study writing). */
const COLOUR_DPI = 300;
/** A sample is not thinned out below this many pixels. */
const ENOUGH = 20_000;

export interface CountedPixels {
  /** One pixel of each square, as indices into the region, row by row. */
  readonly indices: Int32Array;
  /** Side of the squares, px: 1 where every pixel is looked at. */
  readonly stepPx: number;
  /** All pixels that count, looked at or not. */
  readonly all: Int32Array;
}

/** @param dpi of the region; 300 or less, or few pixels, and every pixel is looked at. */
export function countedPixels(mask: Mask, dpi: number): CountedPixels {
  const { widthPx } = mask;
  const all = maskPixels(mask);
  const stepPx = Math.max(1, Math.min(Math.floor(dpi / COLOUR_DPI), Math.floor(Math.sqrt(all.length / ENOUGH))));
  if (stepPx === 1) return { indices: all, stepPx, all };
  const chosen: Chosen = { columnOf: columns(widthPx, stepPx), place: new Int32Array(Math.ceil(widthPx / stepPx)) };
  const indices = new Int32Array(all.length);
  let kept = 0;
  // Row by row of squares, of those that hold any pixel.
  for (let from = 0; from < all.length;) {
    const row = Math.floor(all[from] / (stepPx * widthPx));
    const to = firstFrom(all, from, (row + 1) * stepPx * widthPx);
    choose(chosen.place, row, stepPx);
    kept = addChosen(chosen, all, from, to, row * stepPx, widthPx, stepPx, indices, kept);
    from = to;
  }
  return { indices: indices.slice(0, kept), stepPx, all };
}

/** Of a row of squares. */
interface Chosen {
  /** Of each place along a row the square that it lies in. */
  readonly columnOf: Int32Array;
  /** Of each square the one pixel that stands for it: which of its own, row by row. */
  readonly place: Int32Array;
}

// A row at a time: what is called often is soon compiled.

function columns(widthPx: number, stepPx: number): Int32Array {
  const columnOf = new Int32Array(widthPx);
  for (let x = 0; x < widthPx; x++) columnOf[x] = Math.floor(x / stepPx);
  return columnOf;
}

/** The first place from `from` on that holds no pixel before `end`. */
function firstFrom(pixels: Int32Array, from: number, end: number): number {
  let to = from;
  while (to < pixels.length && pixels[to] < end) to++;
  return to;
}

function choose(place: Int32Array, row: number, stepPx: number): void {
  const places = stepPx * stepPx;
  const bits = (places & (places - 1)) === 0 ? places - 1 : 0;
  for (let column = 0; column < place.length; column++) {
    const h = chanceOf(column, row);
    place[column] = bits > 0 ? h & bits : (h >>> 0) % places;
  }
}

/** @returns how many there are then */
function addChosen(
  { columnOf, place }: Chosen,
  pixels: Int32Array,
  from: number,
  to: number,
  top: number,
  widthPx: number,
  stepPx: number,
  out: Int32Array,
  before: number,
): number {
  let kept = before;
  let start = top * widthPx;
  let down = 0;
  for (let k = from; k < to; k++) {
    const i = pixels[k];
    while (i >= start + widthPx) {
      start += widthPx;
      down += stepPx;
    }
    const x = i - start;
    const column = columnOf[x];
    // Whichever it is, its place is written, and kept when it is the chosen one: chance cannot be foreseen.
    out[kept] = i;
    kept += place[column] === down + x - stepPx * column ? 1 : 0;
  }
  return kept;
}

/** 32 bits by chance rather than by a pattern, which a stroke of the same slant would always meet at the same depth; the same for the same square. */
function chanceOf(column: number, row: number): number {
  let h = Math.imul(column + 1, 0x9e3779b1) ^ Math.imul(row + 1, 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  return h ^ (h >>> 13);
}
