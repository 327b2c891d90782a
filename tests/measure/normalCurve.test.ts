/** The quick normal curve against the exact error function of the strips, and its two named distances. */
import { expect, test } from 'vitest';
import { erfc } from '../../analysis/measure/strip/errorFunction.ts';
import { erf, normalSum, SIGMAS_10_70, SIGMAS_10_90 } from '../../analysis/normalCurve.ts';

const places = Array.from({ length: 121 }, (_, i) => (i - 60) / 10);

test('erf is odd and within 1.5e-7 of one minus the exact complement', () => {
  const off = places.map((x) => Math.abs(erf(Math.abs(x)) - (1 - erfc(Math.abs(x)))));
  expect(Math.max(...off)).toBeLessThan(1.5e-7);
  expect(places.filter((x) => x !== 0).map((x) => erf(-x))).toEqual(places.filter((x) => x !== 0).map((x) => -erf(x)));
});

test('Φ is within 1e-7 of the exact one and reaches its ends', () => {
  const exact = (z: number): number => (z < 0 ? 0.5 * erfc(-z / Math.SQRT2) : 1 - 0.5 * erfc(z / Math.SQRT2));
  expect(Math.max(...places.map((z) => Math.abs(normalSum(z) - exact(z))))).toBeLessThan(1e-7);
  expect([normalSum(-40), normalSum(40)]).toEqual([0, 1]);
});

test('the named distances of a blurred step span what they are named for', () => {
  const tenth = -SIGMAS_10_90 / 2;
  expect(normalSum(tenth)).toBeCloseTo(0.1, 6);
  expect(normalSum(tenth + SIGMAS_10_70)).toBeCloseTo(0.7, 6);
});
