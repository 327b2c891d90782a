import { describe, expect, test } from 'vitest';
import { nibPairs, type Pairable, paperPairs, runPairs } from '../../analysis/measure/pairs.ts';

const region = (id: string, kind: string, paper: string, rest: Partial<Pairable> = {}): Pairable => ({
  id,
  kind,
  paper,
  nib: null,
  run: null,
  ...rest,
});

const sheet = [
  region('bare', 'paper', 'white'),
  region('ef-w', 'strokes', 'white', { nib: 'EF' }),
  region('b-w', 'strokes', 'white', { nib: 'B' }),
  region('ef-y', 'strokes', 'yellow', { nib: 'EF' }),
  region('even-w', 'swab', 'white'),
  region('graded-w', 'swab', 'white'),
  region('even-y', 'swab', 'yellow'),
  region('graded-y', 'swab', 'yellow'),
  region('f', 'strip', 'filter', { run: 'fresh' }),
  region('d1', 'strip', 'filter', { run: 'dried' }),
  region('d2', 'strip', 'filter', { run: 'dried' }),
];

describe('which regions are held against each other', () => {
  test('nibs on one paper, in the order of the sheet', () => {
    expect(nibPairs(sheet)).toEqual([['ef-w', 'b-w']]);
  });

  test('one nib on two papers, and swabs like with like', () => {
    expect(paperPairs(sheet)).toEqual([
      ['ef-w', 'ef-y'],
      ['even-w', 'even-y'],
      ['graded-w', 'graded-y'],
    ]);
  });

  test('every fresh strip with every dried one', () => {
    expect(runPairs(sheet)).toEqual([
      ['f', 'd1'],
      ['f', 'd2'],
    ]);
  });

  test('strokes without a nib are held against nothing: nobody knows what would differ', () => {
    const nameless = [
      region('a', 'strokes', 'white'),
      region('b', 'strokes', 'white'),
      region('c', 'strokes', 'yellow'),
    ];
    expect(nibPairs(nameless)).toEqual([]);
    expect(paperPairs(nameless)).toEqual([]);
  });
});
