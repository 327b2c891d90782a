/** The joint fit and the unmixing against SciPy, which searches otherwise and shares nothing with them (tests/vectors/strip_scipy.py). */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { fitBands, type Component, type FitData } from '../../analysis/measure/strip/bandFit.ts';
import { nonNegative } from '../../analysis/measure/strip/heights.ts';

interface Results {
  readonly made: Readonly<Record<string, string>>;
  readonly binMm: number;
  readonly noise: number;
  readonly fits: readonly {
    readonly name: string;
    readonly dragged: readonly boolean[];
    /** By channel. */
    readonly density: readonly (readonly number[])[];
    readonly components: readonly {
      readonly mean: number;
      readonly sd: number;
      readonly drag: number;
      readonly heights: readonly number[];
    }[];
    readonly chi2: number;
  }[];
  readonly nnls: readonly {
    readonly a: readonly (readonly number[])[];
    readonly b: readonly number[];
    readonly x: readonly number[];
    readonly residual: number;
  }[];
}
const results: Results = JSON.parse(readFileSync(new URL('../vectors/strip_scipy.json', import.meta.url), 'utf8'));

describe.each(results.fits)('the joint fit: $name', ({ dragged, density, components, chi2 }) => {
  const bins = density[0].length;
  const alike = Float64Array.from({ length: 9 * bins }, (_, i) =>
    i % 9 === 0 || i % 9 === 4 || i % 9 === 8 ? 1 / results.noise : 0,
  );
  const data: FitData = {
    bins,
    firstMm: 0,
    binMm: results.binMm,
    density: Float64Array.from(density.flat()),
    whiten: alike,
    chance: alike,
  };
  // From further off than SciPy's own start, and the other way.
  const start = components.map((c, j): Component => ({
    kind: 'band',
    meanMm: c.mean - 0.6,
    sdMm: 0.75 * c.sd,
    tail: dragged[j] ? 'dragged' : 'none',
    drag: 0.3 * Math.sign(c.drag),
    delay: 0,
    heights: [0, 0, 0],
  }));
  const fit = fitBands(data, start, { originMm: 0, frontMm: 40, originReachMm: 1.5 }, 300);

  test('comes to the same least misfit', () => {
    expect(Math.abs(fit.chi2 / chi2 - 1)).toBeLessThan(1e-5);
  });

  test('has the same places, widths, tails and heights', () => {
    fit.components.forEach((c, j) => {
      const other = components[j];
      expect(Math.abs(c.meanMm - other.mean)).toBeLessThan(0.001);
      expect(Math.abs(c.sdMm / other.sd - 1)).toBeLessThan(0.0005);
      expect(Math.abs(c.drag - other.drag)).toBeLessThan(0.001);
      other.heights.forEach((h, k) => expect(Math.abs(c.heights[k] - h)).toBeLessThan(0.0001));
    });
  });
});

test.each(results.nnls.map((row, i) => [i, row] as const))(
  'non-negative least squares, problem %i',
  (_, { a, b, x, residual }) => {
    const n = x.length;
    const gram = new Float64Array(n * n);
    const right = new Float64Array(n);
    for (let j = 0; j < n; j++) {
      for (let c = 0; c < 3; c++) right[j] += a[c][j] * b[c];
      for (let k = 0; k < n; k++) for (let c = 0; c < 3; c++) gram[j * n + k] += a[c][j] * a[c][k];
    }
    const out = new Float64Array(n);
    nonNegative(gram, right, n, out);
    const left = Math.hypot(...b.map((v, c) => v - a[c].reduce((sum, own, j) => sum + own * out[j], 0)));
    expect(Math.min(...out)).toBeGreaterThanOrEqual(0);
    expect(left).toBeLessThan(residual + 1e-6);
    // With more unknowns than channels several answers are best; which one is taken is free.
    const unlike = n <= 3 ? Math.max(...x.map((v, j) => Math.abs(out[j] - v))) : 0;
    expect(unlike).toBeLessThan(1e-7);
  },
);
