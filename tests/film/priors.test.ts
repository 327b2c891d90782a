/** The shipped tables are what their script makes, and hold what they say. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { GRID } from '../../analysis/film/grid.ts';
import { INK_FLOOR, shippedInkPrior } from '../../analysis/film/inkPrior.ts';
import { priorTables } from '../../study/filmPriors/tables.ts';

test('the script makes the shipped tables anew, to the letter', () => {
  const made = priorTables();
  expect([...made.keys()]).toEqual(['sensorTable.ts', 'groundTable.ts', 'inkTable.ts']);
  for (const [name, text] of made) {
    const shipped = readFileSync(new URL(`../../analysis/film/priors/${name}`, import.meta.url), 'utf8');
    expect(shipped === text, `${name} differs: run npm run priors`).toBe(true);
  }
});

test('inks of the prior absorb at most 1 and nowhere less than nothing', () => {
  const { kinds } = shippedInkPrior();
  expect(kinds.flatMap(({ starts }) => starts)).toHaveLength(1500);
  for (const { mean, modes, starts } of kinds) {
    expect([mean.length, modes.length]).toEqual([GRID.count, 14]);
    expect(starts.length).toBeGreaterThan(0);
    for (const k of starts) {
      expect(Math.max(...k)).toBe(1);
      expect(Math.min(...k)).toBeGreaterThanOrEqual(0);
    }
  }
});

test('belief in all kinds of ink is shared out, and no kind has most of it', () => {
  const shares = shippedInkPrior().kinds.map(({ share }) => share);
  expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 3);
  expect(Math.max(...shares)).toBeLessThan(0.25);
});

test('each kind is nearer to its own starts than to the others’', () => {
  const { kinds } = shippedInkPrior();
  const away = (k: Float64Array, mean: Float64Array): number =>
    k.reduce((sum, v, l) => sum + (Math.log(v + INK_FLOOR) - mean[l]) ** 2, 0);
  for (const { mean, starts } of kinds) {
    const average = (list: readonly Float64Array[]): number =>
      list.reduce((sum, k) => sum + away(k, mean), 0) / list.length;
    const strangers = kinds.filter((kind) => kind.mean !== mean).flatMap((kind) => kind.starts);
    expect(average(starts)).toBeLessThan(0.7 * average(strangers));
  }
});

test('the modes of a kind are independent: none leans on another', () => {
  for (const { modes } of shippedInkPrior().kinds) {
    for (const a of modes) {
      for (const b of modes) {
        if (a === b) continue;
        const along = a.reduce((sum, v, l) => sum + v * b[l], 0);
        expect(Math.abs(along)).toBeLessThan(1e-5);
      }
    }
  }
});
