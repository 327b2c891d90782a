/** Where ink came through on the back, dot by dot, for pictures. */
import { components } from '../../raster/components.ts';
import { REVERSE_MARKS } from './reverseInput.ts';

export interface BleedDot {
  /** Px of the marks: its middle, and the radius of a disc that holds it. */
  readonly x: number;
  readonly y: number;
  readonly r: number;
}

/** Two dots that touch are one mark here; how many there are, the quantity tells. @param marks REVERSE_MARKS, row by row */
export function bleedDots(marks: {
  readonly data: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
}): readonly BleedDot[] {
  const data = Uint8Array.from(marks.data, (mark) => (mark === REVERSE_MARKS.bleed ? 1 : 0));
  return components({ ...marks, data }).map(({ centroid: [x, y], x0, x1, y0, y1 }) => ({
    x,
    y,
    r: Math.max(x1 - x0 + 1, y1 - y0 + 1) / 2,
  }));
}
