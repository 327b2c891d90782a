/** The film's layer against published numbers, and against the two-flux equations that it solves. */
import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import { layerReflectance, layerWithSlopes } from '../../analysis/film/layer.ts';

// Kubelka & Munk 1931; Kubelka 1948: the layer formula's numbers of tests/vectors/paper_optics.json.
const published = z
  .object({
    kubelka_munk: z.object({
      table: z.array(z.object({ R_inf: z.number(), K_over_S: z.number() })).length(12),
      layer: z
        .array(z.object({ K: z.number(), S: z.number(), X: z.number(), R_g: z.number(), R: z.number() }))
        .length(20),
    }),
  })
  .parse(JSON.parse(readFileSync(new URL('../vectors/paper_optics.json', import.meta.url), 'utf8'))).kubelka_munk;

test.each(published.layer)('a layer K $K, S $S, X $X over $R_g reflects $R (Kubelka 1948)', ({ K, S, X, R_g, R }) => {
  expect(layerReflectance(R_g, K * X, S * X)).toBeCloseTo(R, 7);
});

test.each(published.table)(
  'a thick layer of K/S $K_over_S reflects $R_inf over anything (Kubelka & Munk 1931)',
  ({ R_inf, K_over_S }) => {
    const S = 300;
    for (const ground of [0, 0.4, 0.9]) expect(layerReflectance(ground, K_over_S * S, S)).toBeCloseTo(R_inf, 6);
  },
);

/** dR/dx = S − 2(K + S)R + S R², upwards through the layer from the ground (Kubelka & Munk 1931, eq. 3), by Runge–Kutta's fourth order. */
function integrated(ground: number, K: number, S: number): number {
  const steps = 4000;
  const h = 1 / steps;
  const slope = (R: number): number => S - 2 * (K + S) * R + S * R * R;
  let R = ground;
  for (let i = 0; i < steps; i++) {
    const a = slope(R);
    const b = slope(R + (h * a) / 2);
    const c = slope(R + (h * b) / 2);
    R += (h * (a + 2 * b + 2 * c + slope(R + h * c))) / 6;
  }
  return R;
}

test('the layer solves the two-flux equations', () => {
  for (const [ground, K, S] of [
    [0.9, 0.3, 0.01],
    [0.6, 2.5, 0.2],
    [0.85, 0.0001, 0.5],
    [0.2, 4, 1.5],
  ] as const) {
    expect(layerReflectance(ground, K, S)).toBeCloseTo(integrated(ground, K, S), 9);
  }
});

describe('limits', () => {
  const share = fc.double({ min: 0.01, max: 0.98, noNaN: true });
  const amount = fc.double({ min: 0, max: 6, noNaN: true });

  test('no layer leaves the ground; without scatter light passes twice (Beer–Lambert)', () => {
    fc.assert(
      fc.property(share, amount, (ground, K) => {
        expect(layerReflectance(ground, 0, 0)).toBeCloseTo(ground, 12);
        expect(layerReflectance(ground, K, 0)).toBeCloseTo(ground * Math.exp(-2 * K), 9);
      }),
    );
  });

  test('a layer on a layer equals their sum', () => {
    fc.assert(
      fc.property(share, amount, amount, (ground, K, S) => {
        const once = layerReflectance(layerReflectance(ground, K / 3, S / 3), (2 * K) / 3, (2 * S) / 3);
        expect(once).toBeCloseTo(layerReflectance(ground, K, S), 9);
      }),
    );
  });

  test('slopes are those of the reflectance', () => {
    fc.assert(
      fc.property(
        share,
        fc.double({ min: 1e-3, max: 4, noNaN: true }),
        fc.double({ min: 1e-3, max: 1, noNaN: true }),
        (ground, K, S) => {
          const out = new Float64Array(4);
          layerWithSlopes(ground, K, S, out);
          const h = 1e-6;
          expect(out[0]).toBeCloseTo(layerReflectance(ground, K, S), 12);
          expect(out[1]).toBeCloseTo(
            (layerReflectance(ground, K + h, S) - layerReflectance(ground, K - h, S)) / (2 * h),
            5,
          );
          expect(out[2]).toBeCloseTo(
            (layerReflectance(ground, K, S + h) - layerReflectance(ground, K, S - h)) / (2 * h),
            5,
          );
          expect(out[3]).toBeCloseTo(
            (layerReflectance(ground + h, K, S) - layerReflectance(ground - h, K, S)) / (2 * h),
            5,
          );
        },
      ),
    );
  });
});
