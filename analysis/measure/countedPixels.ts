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
  const { data, widthPx, heightPx } = mask;
  const all = maskPixels(mask);
  const stepPx = Math.max(1, Math.min(Math.floor(dpi / COLOUR_DPI), Math.floor(Math.sqrt(all.length / ENOUGH))));
  if (stepPx === 1) return { indices: all, stepPx, all };
  // Row by row: a place's own square, and of that the one pixel that stands for it.
  const chosen: Chosen = {
    x: new Int32Array(Math.ceil(widthPx / stepPx)),
    y: new Int32Array(Math.ceil(widthPx / stepPx)),
  };
  let kept = 0;
  const indices = new Int32Array(all.length);
  for (let y = 0; y < heightPx; y++) {
    if (y % stepPx === 0) choose(chosen, y, stepPx);
    kept = addChosen(data, chosen.x, chosen.y, y, widthPx, indices, kept);
  }
  return { indices: indices.slice(0, kept), stepPx, all };
}

/** Of each square of a row of squares. */
interface Chosen {
  readonly x: Int32Array;
  readonly y: Int32Array;
}

// A row at a time: what is called often is soon compiled.

function choose({ x, y }: Chosen, top: number, stepPx: number): void {
  const row = (top / stepPx) | 0;
  const places = stepPx * stepPx;
  const bits = (places & (places - 1)) === 0 ? places - 1 : 0;
  for (let column = 0, left = 0; column < x.length; column++, left += stepPx) {
    const h = chanceOf(column, row);
    const place = bits > 0 ? h & bits : (h >>> 0) % places;
    const down = (place / stepPx) | 0;
    y[column] = top + down;
    x[column] = left + place - down * stepPx;
  }
}

/** @returns how many there are then */
function addChosen(
  data: Uint8Array,
  chosenX: Int32Array,
  chosenY: Int32Array,
  y: number,
  widthPx: number,
  out: Int32Array,
  before: number,
): number {
  let kept = before;
  const start = y * widthPx;
  for (let column = 0; column < chosenX.length; column++) {
    const x = chosenX[column];
    if (chosenY[column] === y && x < widthPx && data[start + x] !== 0) out[kept++] = start + x;
  }
  return kept;
}

/** 32 bits by chance rather than by a pattern, which a stroke of the same slant would always meet at the same depth; the same for the same square. */
function chanceOf(column: number, row: number): number {
  let h = Math.imul(column + 1, 0x9e3779b1) ^ Math.imul(row + 1, 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  return h ^ (h >>> 13);
}
