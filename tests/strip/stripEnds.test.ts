/** Which of the lines across a strip is origin and front, and how sure their places are; figures by hand. */
import { expect, test } from 'vitest';
import type { Mark } from '../../analysis/measure/strip/marks.ts';
import { findFront, findOrigin } from '../../analysis/measure/strip/stripEnds.ts';

const BIN_MM = 0.25;

/** A line whose darkest place and middle are this far along the run. */
function line(mm: number, more: Partial<Mark> = {}): Mark {
  const at = mm / BIN_MM;
  return { from: at - 2, to: at + 3, centre: at, crest: at, strength: 0.3, halves: [1, 1], brown: false, ...more };
}

/** A run of 80 mm without colour. @param marks lines across it, by their place */
const strip = (...marks: Mark[]) => ({ bins: 320, firstMm: 0, binMm: BIN_MM, marks, density: new Float64Array(960) });

test('the strongest line at the start is the origin, the last plain one the front, either sure to 0.15 mm', () => {
  const lines = strip(line(8), line(10, { strength: 0.5 }), line(50), line(70), line(75, { strength: 0.05 }));
  expect(findOrigin(lines, 70)).toEqual({ mm: 10, uMm: 0.15 });
  expect(findFront(lines, 10)).toEqual({ mm: 70, uMm: 0.15 });
});

test('no run is shorter than 10 mm, and without a line or a spot there is no end', () => {
  expect(findOrigin(strip(line(62)), 70)).toBeNull();
  expect(findFront(strip(line(10), line(18)), 10)).toBeNull();
});

test('a brown tideline that rises slowly stopped ahead of its darkest place, by 0.3 mm at most', () => {
  const tide = (halves: Mark['halves'], brown = true) => findFront(strip(line(70, { halves, brown })), 10)?.mm;
  expect(tide([1.8, 1])).toBeCloseTo(70 + 1.25 * 0.8 * BIN_MM, 9);
  expect(tide([6, 1])).toBeCloseTo(70.3, 9);
  expect([tide([1.5, 1]), tide([6, 1], false)]).toEqual([70, 70]);
});

test('a compact spot of all that ran is an origin that is sure to half a millimetre', () => {
  const lines = strip();
  for (let c = 0; c < 3; c++) {
    lines.density.fill(0.2, c * 320 + 40, c * 320 + 48);
    lines.density.fill(0.2, c * 320 + 160, c * 320 + 180);
  }
  const found = findOrigin(lines, 75);
  expect(found?.uMm).toBe(0.5);
  expect(Math.abs(Number(found?.mm) - 10.9)).toBeLessThan(0.06);
});
