/** The shipped tables are what their script makes, and hold what they say. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { GRID } from '../../analysis/film/grid.ts';
import { INK_FLOOR, type InkStart, PIGMENT_SHARE, shippedInkPrior } from '../../analysis/film/inkPrior.ts';
import { priorTables } from '../../study/filmPriors/tables.ts';

test('the script makes the shipped tables anew, to the letter', () => {
  const made = priorTables();
  expect([...made.keys()]).toEqual(['sensorTable.ts', 'groundTable.ts', 'inkTable.ts', 'pigmentTable.ts']);
  for (const [name, text] of made) {
    const shipped = readFileSync(new URL(`../../analysis/film/priors/${name}`, import.meta.url), 'utf8');
    expect(shipped === text, `${name} differs: run npm run priors`).toBe(true);
  }
});

test('inks of the prior absorb at most 1 and nowhere less than nothing; only a pigment scatters by wavelength', () => {
  const { kinds } = shippedInkPrior();
  expect(kinds.flatMap(({ starts }) => starts)).toHaveLength(2100);
  for (const { mean, scatterMean, modes, starts, pigment } of kinds) {
    expect([mean.length, scatterMean.length, modes.length]).toEqual([GRID.count, GRID.count, pigment ? 16 : 15]);
    expect(starts.length).toBeGreaterThan(0);
    for (const { k, scatter } of starts) {
      expect(Math.max(...k)).toBe(1);
      expect(Math.min(...k)).toBeGreaterThanOrEqual(0);
      expect(new Set(scatter).size > 1).toBe(pigment);
    }
  }
});

test('in the kinds of pigments scatter goes with absorption: strong where the mean absorbs, and after its edge', () => {
  const pigments = shippedInkPrior().kinds.filter(({ pigment }) => pigment);
  expect(pigments.length).toBeGreaterThan(5);
  const strongest = (curve: ArrayLike<number>): number => Array.from(curve).indexOf(Math.max(...Array.from(curve)));
  const later = pigments.filter(({ mean, scatterMean }) => strongest(scatterMean) >= strongest(mean));
  expect(later.length).toBeGreaterThan(pigments.length / 2);
  const together = pigments.flatMap(({ modes }) =>
    modes.map(({ k, scatter }) => k!.some((v) => Math.abs(v) > 1e-3) && scatter!.some((v) => Math.abs(v) > 1e-3)),
  );
  expect(together.filter(Boolean).length).toBeGreaterThan(0.9 * together.length);
});

test('belief in all kinds of ink is shared out, and no kind has most of it', () => {
  const shares = shippedInkPrior().kinds.map(({ share }) => share);
  expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 3);
  expect(Math.max(...shares)).toBeLessThan(0.25);
  const pigments = shippedInkPrior().kinds.filter(({ pigment }) => pigment);
  expect(pigments.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(PIGMENT_SHARE, 3);
});

test('each kind is nearer to its own starts than to the others’', () => {
  const { kinds } = shippedInkPrior();
  const away = ({ k }: InkStart, mean: Float64Array): number =>
    k.reduce((sum, v, l) => sum + (Math.log(v + INK_FLOOR) - mean[l]) ** 2, 0);
  for (const { mean, starts, pigment } of kinds) {
    const average = (list: readonly InkStart[]): number =>
      list.reduce((sum, start) => sum + away(start, mean), 0) / list.length;
    const strangers = kinds.filter((kind) => kind.mean !== mean && kind.pigment === pigment);
    expect(average(starts)).toBeLessThan(0.7 * average(strangers.flatMap((kind) => kind.starts)));
  }
});

test('the modes of a kind of dye are independent: none leans on another', () => {
  for (const { modes, pigment } of shippedInkPrior().kinds) {
    if (pigment) continue;
    const curves = modes.flatMap(({ k }) => k ?? []);
    expect(curves).toHaveLength(14);
    for (const a of curves) {
      for (const b of curves) {
        if (a === b) continue;
        const along = a.reduce((sum, v, l) => sum + v * b[l], 0);
        expect(Math.abs(along)).toBeLessThan(1e-5);
      }
    }
  }
});
