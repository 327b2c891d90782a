/** What counts as come through, on a page of even squares whose figures can be worked out by hand. */
import { expect, test } from 'vitest';
import { bleedThrough } from '../../analysis/measure/showThrough/bleedThrough.ts';
import { REVERSE_MARKS } from '../../analysis/measure/showThrough/reverseInput.ts';

const SIDE = 80;
/** Ten pixels a millimetre. */
const DPI = 254;
/** The front's ink: a third of it is 0.3. */
const FRONT = 0.9;

interface Square {
  readonly x: number;
  readonly y: number;
  readonly side: number;
  /** Density over the paper about it. */
  readonly density: number;
}

/** Behind a line 2 mm broad, rows 30 to 49. */
function found(...squares: readonly Square[]): ReturnType<typeof bleedThrough> {
  const ratio = new Float32Array(SIDE * SIDE).fill(1);
  const marks = new Uint8Array(SIDE * SIDE).fill(REVERSE_MARKS.behindInk, 30 * SIDE, 50 * SIDE);
  for (const { x, y, side, density } of squares) {
    for (let row = y; row < y + side; row++) ratio.fill(10 ** -density, row * SIDE + x, row * SIDE + x + side);
  }
  return bleedThrough(ratio, marks, SIDE, SIDE, DPI, FRONT);
}

test('a dot is as dark as a third of the front, and not less', () => {
  expect(found({ x: 20, y: 36, side: 6, density: 0.28 }).dots).toBe(0);
  const { dots, areaMm2, areaU, doubtful } = found({ x: 20, y: 36, side: 6, density: 0.34 });
  expect([dots, doubtful]).toEqual([1, 0]);
  expect(areaMm2).toBeCloseTo(0.36, 6);
  // 6 % by itself, 1.5 % as all of a page.
  expect(areaU).toBeCloseTo(0.36 * Math.hypot(0.06, 0.015), 6);
});

test('nearly too pale or too small it is in doubt, and a speck is none', () => {
  expect(found({ x: 20, y: 36, side: 6, density: 0.31 })).toMatchObject({ dots: 1, doubtful: 1 });
  expect(found({ x: 20, y: 36, side: 2, density: 0.6 })).toMatchObject({ dots: 1, doubtful: 1 });
  expect(found({ x: 20, y: 36, side: 1, density: 0.6 })).toMatchObject({ dots: 0, doubtful: 0, areaMm2: 0 });
});

test('a dot may lie a quarter of a millimetre outside its line, and no further', () => {
  expect(found({ x: 20, y: 50, side: 2, density: 0.6 }).dots).toBe(1);
  expect(found({ x: 20, y: 54, side: 6, density: 0.6 }).dots).toBe(0);
});
