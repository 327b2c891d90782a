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
  // Row by row: a place's own square, and of that the one pixel that stands for it.
  const chosen = new Int32Array(Math.ceil(widthPx / stepPx));
  let row = -1;
  let kept = 0;
  const indices = new Int32Array(all.length);
  for (const i of all) {
    const y = Math.floor(i / widthPx);
    const x = i - y * widthPx;
    if (Math.floor(y / stepPx) !== row) {
      row = Math.floor(y / stepPx);
      for (let column = 0; column < chosen.length; column++) chosen[column] = placeIn(column, row, stepPx);
    }
    const column = Math.floor(x / stepPx);
    const place = (y - row * stepPx) * stepPx + x - column * stepPx;
    if (place === chosen[column]) indices[kept++] = i;
  }
  return { indices: indices.slice(0, kept), stepPx, all };
}

/** By chance rather than by a pattern, which a stroke of the same slant would always meet at the same depth; the same for the same square. */
function placeIn(column: number, row: number, stepPx: number): number {
  let h = Math.imul(column + 1, 0x9e3779b1) ^ Math.imul(row + 1, 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  return ((h ^ (h >>> 13)) >>> 0) % (stepPx * stepPx);
}
