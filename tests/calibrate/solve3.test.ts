import { expect, test } from 'vitest';
import { solve3 } from '../../analysis/solve3.ts';

const columns = [
  [2, 1, -1],
  [-3, 4, 0.5],
  [1, -2, 5],
];

test('the columns in the amounts found add up to the right side', () => {
  const found = solve3(columns, [4, -7, 2], 1e-12)!;
  const sums = [0, 1, 2].map((k) => columns.reduce((sum, column, i) => sum + column[k] * found[i], 0));
  expect(sums[0]).toBeCloseTo(4, 12);
  expect(sums[1]).toBeCloseTo(-7, 12);
  expect(sums[2]).toBeCloseTo(2, 12);
});

test('columns in one plane have no one answer, nor those whose determinant counts as nought', () => {
  expect(solve3([columns[0], columns[1], columns[0].map((v, k) => v - columns[1][k])], [1, 2, 3], 1e-12)).toBeNull();
  expect(solve3(columns, [1, 2, 3], 100)).toBeNull();
});
