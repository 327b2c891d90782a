import { expect, test } from 'vitest';
import { fixed, withUncertainty } from '../../analysis/report/valueText.ts';

test.each<[number, number | null, string]>([
  [3.2174, 0.07, '3.22 ± 0.14'],
  [0.61234, 0.0021, '0.6123 ± 0.0042'],
  [-12.3456, 0.6, '−12.3 ± 1.2'],
  [48.2, 30, '48 ± 60'],
  [-0.001, 0.3, '0.00 ± 0.60'],
  [0.5, 0.0000001, '0.5000 ± 0.0000'],
  [1.23456, 0, '1.235 ± 0.000'],
  [1.23456, null, '1.23 ± ?'],
])('%d with u %d is shown as %s', (value, u, expected) => expect(withUncertainty(value, u)).toBe(expected));

test.each<[number, number | null, string]>([
  [4, 0.15, '4 ± 1'],
  [12, 0.7, '12 ± 2'],
  [0, 0.2, '0 ± 1'],
  [3, null, '3 ± ?'],
])('%d dots with u %d are counted whole: %s', (value, u, expected) =>
  expect(withUncertainty(value, u, 'dots')).toBe(expected),
);

test('minus signs are minus signs, and nothing is less than nothing', () => {
  expect(fixed(-1.5, 1)).toBe('−1.5');
  expect(fixed(-0.01, 1)).toBe('0.0');
});
