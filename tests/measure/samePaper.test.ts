import { describe, expect, test } from 'vitest';
import { labD50 } from '../../analysis/colour/lab.ts';
import { type PaperReading, readOtherwise } from '../../analysis/measure/samePaper.ts';

const read = (key: string, L: number, more: Partial<PaperReading> = {}): PaperReading => ({
  key,
  lab: labD50(L, 0.4, 2.1),
  target: 'target.tif',
  besideTarget: false,
  ...more,
});

describe('sheets of one paper', () => {
  test('as far apart as sheets of one pad and the light over the bed make them are sound', () => {
    expect(readOtherwise([read('a', 94), read('b', 95.5)])).toEqual([]);
    expect(readOtherwise([read('a', 94)])).toEqual([]);
    expect(readOtherwise([])).toEqual([]);
  });

  test('of two that read otherwise nothing tells which was changed', () => {
    expect(readOtherwise([read('a', 94), read('b', 98.5)])).toEqual(['a', 'b']);
  });

  test('of three the odd one was', () => {
    expect(readOtherwise([read('a', 94), read('b', 98.5), read('c', 94.4)])).toEqual(['b']);
  });

  test('one whose target lies in the same scan is right', () => {
    const beside = read('a', 94, { besideTarget: true, target: 'a.tif' });
    expect(readOtherwise([beside, read('b', 87)])).toEqual(['b']);
    expect(readOtherwise([beside, read('b', 87), read('c', 87.1)])).toEqual(['b', 'c']);
    expect(readOtherwise([beside, read('b', 94.7)])).toEqual([]);
  });

  test('through two targets they may part further, by what two scanners do', () => {
    const other = { target: 'other.tif' };
    expect(readOtherwise([read('a', 94), read('b', 98, other)])).toEqual([]);
    expect(readOtherwise([read('a', 92), read('b', 99, other)])).toEqual(['a', 'b']);
  });
});
