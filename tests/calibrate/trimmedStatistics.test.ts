/** Figures worked out by hand. */
import { expect, test } from 'vitest';
import { trimmedStatistics } from '../../analysis/calibrate/trimmedStatistics.ts';

// Ten pixels: red 10 to 100 in tens, green always 50, blue with one pixel at the top of the scale.
const pixels = Uint16Array.from(Array.from({ length: 10 }, (_, k) => [10 * (k + 1), 50, k === 3 ? 255 : 200]).flat());

test('the mean leaves out a share at either end, the scatter counts all pixels', () => {
  const { mean, sd } = trimmedStatistics(pixels, 255, 0.1);
  expect(mean.map((v) => v * 255)).toEqual([55, 50, 200].map((v) => expect.closeTo(v, 9)));
  // Of 10, 20 … 100 the squares about 55 add up to 8250.
  expect(sd[0] * 255).toBeCloseTo(Math.sqrt(8250 / 9), 9);
  expect(sd[1]).toBe(0);
});

test('a pixel with any channel at an end is clipped', () => {
  expect(trimmedStatistics(pixels, 255, 0).clippedShare).toBe(0.1);
  expect(trimmedStatistics(pixels, 65535, 0).clippedShare).toBe(0);
});
