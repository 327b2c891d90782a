/** The shipped tables are what their script makes, and hold what they say. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { GRID } from '../../analysis/film/grid.ts';
import { shippedInkPrior } from '../../analysis/film/inkPrior.ts';
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
  const { mean, modes, starts } = shippedInkPrior();
  expect([mean.length, modes.length, starts.length]).toEqual([GRID.count, 14, 1500]);
  for (const k of starts) {
    expect(Math.max(...k)).toBe(1);
    expect(Math.min(...k)).toBeGreaterThanOrEqual(0);
  }
});

test('the modes of the prior are independent: none leans on another', () => {
  const { modes } = shippedInkPrior();
  for (const a of modes) {
    for (const b of modes) {
      if (a === b) continue;
      const along = a.reduce((sum, v, l) => sum + v * b[l], 0);
      expect(Math.abs(along)).toBeLessThan(1e-5);
    }
  }
});
