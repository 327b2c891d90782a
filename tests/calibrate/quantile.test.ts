/** Order statistics of a few numbers: each of the three middles, and what no values give. Figures worked out by hand. */
import { describe, expect, test } from 'vitest';
import { median, quantile, upperMedian, valueAbove } from '../../analysis/quantile.ts';

describe('order statistics', () => {
  test('of an odd count all middles are the middle value, in whatever order they come', () => {
    const values = [7, -2, 30, 4, 5];
    expect([median(values), upperMedian(values), quantile(values, 0.5)]).toEqual([5, 5, 5]);
    expect(values).toEqual([7, -2, 30, 4, 5]);
  });

  test('of an even count the median lies between two values, the upper one is among them', () => {
    expect([median([1, 9, 4, 6]), upperMedian([1, 9, 4, 6])]).toEqual([5, 6]);
  });

  test('numbers are ordered as numbers', () => {
    expect(upperMedian([10, 9, 100])).toBe(10);
  });

  test('a quantile lies on the straight line between its neighbours', () => {
    expect(quantile([10, 20, 40], 0.75)).toBe(30);
    expect([quantile([3, 1, 2], 0), quantile([3, 1, 2], 1)]).toEqual([1, 3]);
  });

  test('of no values nothing is told, or what is asked for', () => {
    expect([median([]), quantile([], 0.5), upperMedian([])]).toEqual([NaN, NaN, NaN]);
    expect(upperMedian([], 0)).toBe(0);
  });
});

test('the value above a share is one of the values, 0 of none', () => {
  const values = Float64Array.of(5, 1, 4, 2);
  expect([0, 0.25, 0.5, 1].map((share) => valueAbove(values, share))).toEqual([1, 2, 4, 5]);
  expect(valueAbove(new Float64Array(0), 0.5)).toBe(0);
});
