/** How even a patch is inside, on patches of made-up pixels: dirt is counted, grain is not. */
import { expect, test } from 'vitest';
import { patchEvenness } from '../../analysis/calibrate/evenness.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

const TOP = 65535;

/** Four quarters of 100 grey pixels each. @param deviceOf of pixel k of a quarter, 0..1 */
function patch(deviceOf: (quarter: number, k: number) => number): Uint16Array[] {
  return [0, 1, 2, 3].map((quarter) =>
    Uint16Array.from({ length: 300 }, (_, i) => Math.round(TOP * deviceOf(quarter, Math.floor(i / 3)))),
  );
}

// 0.06 of the scale is common practice, no source.
test.each([
  ['a tint of 0.05 is the patch’s own', 0.05, 0],
  ['a speck of 0.07 is not', 0.07, 0.1],
])('on a flat patch %s', (_, step, share) => {
  const { strayShare } = patchEvenness(
    patch((_, k) => (k % 10 === 0 ? 0.5 + step : 0.5)),
    TOP,
  );
  expect(strayShare).toBeCloseTo(share, 9);
});

test('on a grainy patch what lies within five of its standard deviations is grain', () => {
  const random = seededRandom(3);
  const grain = Float64Array.from({ length: 400 }, () => 0.03 * Math.max(-3, Math.min(3, normal(random))));
  const withSpecks = (step: number) =>
    patchEvenness(
      patch((quarter, k) => (k === 0 ? 0.5 + step : 0.5 + grain[100 * quarter + k])),
      TOP,
    ).strayShare;
  expect(withSpecks(0.12)).toBe(0);
  expect(withSpecks(0.19)).toBeCloseTo(0.01, 9);
});

test('quarters of unlike means are told by how far these are apart, dust in one of them or not', () => {
  const leaning = (dust: number) =>
    patchEvenness(
      patch((quarter, k) => (k < dust ? 0.05 : 0.5 + 0.01 * quarter)),
      TOP,
    ).quarterSpread;
  expect(leaning(0)).toBeCloseTo(0.03, 4);
  expect(leaning(12)).toBeCloseTo(0.03, 4);
});
