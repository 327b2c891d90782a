import { expect, test } from 'vitest';
import { readVectors } from './readVectors.ts';

const sharma = 'ciede2000_sharma2005.csv';
const known = { rows: 34, sha256: '9ceaeaaa69a1' };

test('a table with other rows than expected, or other bytes, is refused', () => {
  expect(() => readVectors(sharma, { ...known, rows: 35 })).toThrow('34 rows, expected 35');
  expect(() => readVectors(sharma, { ...known, sha256: '000000000000' })).toThrow('begins with 9ceaeaaa69a1');
});

test('a column that is not there, or a cell that is no number, is refused', () => {
  const [first] = readVectors(sharma, known);
  expect(first.numbers('L1', 'a1', 'b1')).toEqual([50, 2.6772, -79.7751]);
  expect(() => first.number('dE94')).toThrow('no column "dE94"');
  const [centroid] = readVectors('iscc_nbs_267_centroids.csv', { rows: 267, sha256: '433edd0c1a2a' });
  expect(centroid.text('name')).toBe('Vivid pink');
  expect(() => centroid.number('name')).toThrow('"Vivid pink" is no number');
});
