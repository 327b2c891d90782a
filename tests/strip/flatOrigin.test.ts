/** What stayed at the origin: a drop's spot, flat with steep flanks, is two halves; a pen's line is one bell. */
import { expect, test } from 'vitest';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';
import type { FitData } from '../../analysis/measure/strip/bandFit.ts';
import { firstBands } from '../../analysis/measure/strip/chooseBands.ts';

const BINS = 300;
const BIN_MM = 0.25;
const SD = 0.003;
const ORIGIN_MM = 10;
const LIMITS = { originMm: ORIGIN_MM, frontMm: 60, originReachMm: 2 };

function dataOf(shape: (mm: number) => number): FitData {
  const random = seededRandom(4);
  const density = new Float64Array(3 * BINS);
  const whiten = new Float64Array(9 * BINS);
  for (let i = 0; i < BINS; i++) {
    for (let c = 0; c < 3; c++) {
      density[c * BINS + i] = [0.5, 0.4, 0.3][c] * shape(i * BIN_MM) + SD * normal(random);
      whiten[9 * i + 4 * c] = 1 / SD;
    }
  }
  return { bins: BINS, firstMm: 0, binMm: BIN_MM, density, whiten, chance: whiten };
}

test.each([
  ['a drop’s spot of 4 mm', (mm: number) => 1 / (1 + Math.exp((Math.abs(mm - ORIGIN_MM) - 2) / 0.15)), 2, 2],
  ['a pen’s line', (mm: number) => Math.exp(-0.5 * (mm - ORIGIN_MM) ** 2), 1, 0],
])('%s', (_, shape, halves, apartMm) => {
  const { components } = firstBands(dataOf(shape), LIMITS, 1, { mostBands: 9 });
  const atOrigin = components.filter(({ kind }) => kind === 'origin').map(({ meanMm }) => meanMm);
  expect(atOrigin).toHaveLength(halves);
  // Side by side, the middle of both on the line.
  expect(atOrigin.reduce((a, b) => a + b) / halves).toBeCloseTo(ORIGIN_MM, 1);
  expect(Math.max(...atOrigin) - Math.min(...atOrigin)).toBeCloseTo(apartMm, 1);
});
