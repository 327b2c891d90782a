/** Writing of which a box holds pieces alone: where it cuts strokes off, their crossings and ends are not known, and what lies doubled counts as a dark place. */
import { INK_MARKS } from './ink.ts';

/**
 * Of the ink the part within a stroke's breadth of a cut. Boxes of 2 and 5 mm and one 1.2 mm high on lines of a broad nib, and one of 6 × 4 mm on an EF nib's (seed 60203), hold
 * 2.2, 1.3, 4.1 and 0.3: their shading lay 5 to 20 u off. Through the middle of a line of writing with others below, or of a block, it is 0.01 to 0.12, of a word 0.02 to 0.13.
 */
const MOST_CUT = 0.2;

/** @param marks What each pixel of the box counted as (INK_MARKS), row-major. */
export function isMostlyCut(marks: Uint8Array, widthPx: number): boolean {
  const heightPx = marks.length / widthPx;
  let ink = 0;
  for (const mark of marks) if (isInk(mark)) ink++;
  const cut =
    cutAlong(marks, 0, 1, widthPx) +
    cutAlong(marks, marks.length - widthPx, 1, widthPx) +
    cutAlong(marks, 0, widthPx, heightPx) +
    cutAlong(marks, widthPx - 1, widthPx, heightPx);
  return cut > MOST_CUT * ink;
}

/** Pixels within the breadth of each cut along one border: as many as its breadth squared. */
function cutAlong(marks: Uint8Array, from: number, step: number, count: number): number {
  let sum = 0;
  let run = 0;
  for (let k = 0; k <= count; k++) {
    if (k < count && isInk(marks[from + k * step])) run++;
    else {
      sum += run * run;
      run = 0;
    }
  }
  return sum;
}

function isInk(mark: number): boolean {
  return mark !== INK_MARKS.none && mark < INK_MARKS.halo;
}
