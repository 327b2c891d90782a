/** The laws that the rendered world obeys, each at a limit where the answer is known. */
import { describe, expect, test } from 'vitest';
import { filmReflectance } from '../../sample-scans/generator/film.ts';
import { drawInk } from '../../sample-scans/generator/ink.ts';
import { doseTable, entryOf, xyzAt } from '../../sample-scans/generator/doseTable.ts';
import { drawPaper } from '../../sample-scans/generator/paper.ts';
import { normalQuantile } from '../../sample-scans/generator/random.ts';
import { drawScanner, lightAt, toSignal, toneValue } from '../../sample-scans/generator/scanner.ts';
import { toXyz, WAVELENGTHS } from '../../sample-scans/generator/spectra.ts';
import { erf } from '../../sample-scans/generator/erf.ts';
import { D50 } from '../../analysis/colour/lab.ts';

describe('a film of ink', () => {
  test.each([0.05, 0.5, 0.9])('of no dose shows the ground %d', (ground) => {
    expect(filmReflectance(ground, 0, 0)).toBeCloseTo(ground, 12);
  });

  test.each([
    [0.3, 0],
    [1.2, 0],
    [0.001, 0],
  ])('without scatter darkens by exp(−2K): K = %d', (K) => {
    expect(filmReflectance(0.8, K, 0)).toBeCloseTo(0.8 * Math.exp(-2 * K), 8);
  });

  test('thick enough shows R∞ = 1 + K/S − √((K/S)² + 2K/S), whatever lies under it', () => {
    const ratio = 4;
    const deep = 1 + ratio - Math.sqrt(ratio * ratio + 2 * ratio);
    expect(filmReflectance(0.9, 200, 50)).toBeCloseTo(deep, 8);
    expect(filmReflectance(0.1, 200, 50)).toBeCloseTo(deep, 8);
  });

  test.each([
    [0.4, 0.02],
    [0.002, 0.001],
    [2, 0.4],
  ])('laid in two passes is the film of both doses (K %d, S %d)', (K, S) => {
    const below = filmReflectance(0.85, 0.3 * K, 0.3 * S);
    expect(filmReflectance(below, 0.7 * K, 0.7 * S)).toBeCloseTo(filmReflectance(0.85, K, S), 6);
  });
});

describe.each([1, 2, 3, 4, 5, 6])('scanner and ink %i', (seed) => {
  const scanner = drawScanner(seed);
  const ink = drawInk(seed);
  const paper = drawPaper(seed, 'yellow', 'yellow');

  test('a perfect white gives signal 1 in every channel', () => {
    const white = WAVELENGTHS.map(() => 1);
    for (const s of toSignal(scanner, white)) expect(s).toBeCloseTo(1, 12);
    for (const [c, v] of toXyz(white).entries()) expect(v).toBeCloseTo(D50[c], 6);
  });

  test('tone curves rise all the way, and white paper stays below full scale', () => {
    for (const law of scanner.tone) {
      let before = toneValue(law, 0);
      expect(before).toBeGreaterThan(0);
      for (let x = 0.01; x <= 1.001; x += 0.01) {
        const now = toneValue(law, x);
        expect(now).toBeGreaterThan(before);
        before = now;
      }
      expect(before).toBeLessThan(0.99);
    }
  });

  test('light over the bed stays within 4 %', () => {
    for (const x of [0, 60, 120, 200]) {
      for (const y of [0, 100, 250]) expect(Math.abs(lightAt(scanner.light, 1, x, y) - 1)).toBeLessThan(0.04);
    }
  });

  test('the table of doses begins at the paper and darkens', () => {
    const table = doseTable(ink, paper.reflectance, scanner);
    const bare = toXyz(paper.reflectance);
    expect(xyzAt(table, entryOf(table, 0))[1]).toBeCloseTo(bare[1], 12);
    let before = bare[1];
    for (let dose = 0.1; dose < 6; dose += 0.1) {
      const Y = xyzAt(table, entryOf(table, dose))[1];
      expect(Y).toBeLessThan(before);
      before = Y;
    }
  });

  test("the dyes' absorptions add up to the ink's, whose maximum is 1", () => {
    for (const [l, k] of ink.absorption.entries()) {
      expect(ink.dyes.reduce((sum, dye) => sum + dye.absorption[l], 0)).toBeCloseTo(k, 12);
    }
    expect(Math.max(...ink.absorption)).toBeCloseTo(1, 12);
  });
});

test('the normal quantile and the error function hit printed values', () => {
  // Φ⁻¹(0.975) and Φ⁻¹(0.001), erf(0.5) and erf(1.5): any statistical table.
  expect(normalQuantile(0.975)).toBeCloseTo(1.959964, 6);
  expect(normalQuantile(0.001)).toBeCloseTo(-3.090232, 6);
  expect(erf(0.5)).toBeCloseTo(0.5204999, 6);
  expect(erf(-1.5)).toBeCloseTo(-0.9661051, 6);
});
