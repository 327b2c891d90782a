/** Strip measures against published shapes and definitions. */
import { readFileSync } from 'node:fs';
import { sgg } from 'ml-savitzky-golay-generalized';
import { describe, expect, test } from 'vitest';
import { emgDensity, shapeDensity } from '../../analysis/measure/strip/bandModel.ts';
import { curveShape, resolution, retardation } from '../../analysis/measure/strip/bandShape.ts';
import { readVectors } from '../vectors/readVectors.ts';

interface Definitions {
  readonly Rf: {
    readonly worked: readonly {
      readonly origin_mm: number;
      readonly front_mm: number;
      readonly spot_mm: number;
      readonly Rf: number;
    }[];
  };
  readonly resolution: {
    readonly worked: readonly {
      readonly x1: number;
      readonly x2: number;
      readonly w1: number;
      readonly w2: number;
      readonly Rs_base_width: number;
      readonly fwhm1: number;
    }[];
  };
}
const definitions: Definitions = JSON.parse(
  readFileSync(new URL('../vectors/chromatography.json', import.meta.url), 'utf8'),
);

// Grushka (1972), Anal. Chem. 44, 1733: the density computed from its convolution integral.
test('the exponentially modified Gaussian equals its table', () => {
  const rows = readVectors('emg_density.csv', { rows: 100, sha256: 'cda694525369' });
  for (const row of rows) {
    const [mu, sigma, tau, x, f] = row.numbers('mu', 'sigma', 'tau', 'x', 'f');
    expect(Math.abs(emgDensity(x, mu, sigma, tau) - f)).toBeLessThan(2e-7 + 2e-7 * f);
  }
});

// The library that finds band candidates, against Savitzky & Golay (1964), Anal. Chem. 36, 1627 (as corrected by Steinier 1972).
describe('Savitzky–Golay weights of the second derivative', () => {
  const rows = readVectors('savitzky_golay_quadratic.csv', { rows: 12, sha256: '24dc5cbe099d' }).filter(
    (row) => row.number('derivative') === 2,
  );
  test.each(rows.map((row) => [row.number('points'), row] as const))('%i points', (points, row) => {
    const weights = Array.from({ length: points }, (_, i) => row.number(`c${i}`) / row.number('norm'));
    const x = Array.from({ length: 41 }, (_, i) => i);
    const y = x.map((v) => Math.sin(v / 3) + 0.01 * v * v);
    const derived = sgg(y, x, { windowSize: points, derivative: 2, polynomial: 2 });
    const by = weights.reduce((sum, w, i) => sum + w * y[20 - (points - 1) / 2 + i], 0);
    expect(derived[20]).toBeCloseTo(by, 9);
  });
});

// IUPAC nomenclature: Ettre (1993), Pure Appl. Chem. 65, 819, section 4.
test.each(definitions.Rf.worked)('a spot at $spot_mm mm has R_F $Rf', (w) => {
  expect(retardation(w.spot_mm, w.origin_mm, w.front_mm)).toBeCloseTo(w.Rf, 8);
});

// The same nomenclature.
describe('resolution and widths', () => {
  test.each(definitions.resolution.worked)('R_s of bands at $x1 and $x2 is $Rs_base_width', (w) => {
    expect(resolution(w.x1, w.x2, w.w1, w.w2)).toBeCloseTo(w.Rs_base_width, 9);
  });

  test.each(definitions.resolution.worked)(
    'a Gaussian with a base of $w1 has its half-height width, no tail, and that base',
    (w) => {
      const band = { meanMm: w.x1, sdMm: w.w1 / 4, drag: 0, delay: 0, tail: 'none' as const };
      const shape = curveShape((mm) => shapeDensity(mm, band), w.x1, [w.x1 - 30, w.x1 + 30]);
      expect(shape.widthMm).toBeCloseTo(w.fwhm1, 2);
      expect(shape.tail).toBeCloseTo(1, 2);
      expect(shape.baseMm).toBeCloseTo(w.w1, 1);
    },
  );
});
