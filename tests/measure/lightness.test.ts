import { expect, test } from 'vitest';
import { labD50, labToXyz } from '../../analysis/colour/lab.ts';
import { lightnessOf } from '../../analysis/measure/lightness.ts';

const pixels = (...lightness: number[]) => Float32Array.from(lightness.flatMap((L) => labToXyz(labD50(L, 20, -30))));

test('each pixel counts in the bin of its L*, whatever its colour', () => {
  const { firstL, stepL, counts } = lightnessOf(pixels(30.1, 30.4, 30.6, 32.2, 32.3, 32.4));
  expect([firstL, stepL]).toEqual([30, 0.5]);
  expect(counts).toEqual([2, 1, 0, 0, 3]);
});

test('the step is kept, and nothing gives nothing', () => {
  expect(lightnessOf(pixels(10.5, 14.9), 2)).toEqual({ firstL: 10, stepL: 2, counts: [1, 0, 1] });
  expect(lightnessOf(new Float32Array(0))).toEqual({ firstL: 0, stepL: 0.5, counts: [] });
});
