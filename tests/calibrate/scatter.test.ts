import { expect, test } from 'vitest';
import { deviation, jackknife, mean } from '../../analysis/scatter.ts';

const values = [3, 1, 4, 1, 5, 9, 2, 6];

test('the deviation is that of what the values were drawn from', () => {
  expect(mean(values)).toBe(3.875);
  expect(deviation(values)).toBeCloseTo(Math.sqrt(52.875 / 7), 12);
  expect([deviation([]), deviation([7])]).toEqual([0, 0]);
});

test('of a mean the jackknife tells the textbook uncertainty, s/√n', () => {
  const without = values.map((_, k) => mean(values.filter((_one, i) => i !== k)));
  expect(jackknife(without)).toBeCloseTo(deviation(values) / Math.sqrt(values.length), 12);
  expect(jackknife([2])).toBe(0);
});
