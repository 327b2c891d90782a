/** A layer's R0 and T against published theory and numbers: tests/vectors/paper_optics.json names the source of each. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { z } from 'zod';
import {
  absorptionAndScatter,
  layerOf,
  onGround,
  STANDARD_WHITE,
} from '../../../analysis/measure/opacity/layerOptics.ts';

const numbers = <K extends string>(...keys: readonly K[]) => z.array(z.record(z.enum(keys), z.number())).min(4);
const published = z
  .object({
    kubelka_munk: z.object({
      table: numbers('R_inf', 'K_over_S', 'back'),
      layer: numbers('K', 'S', 'X', 'R_g', 'R'),
    }),
    opacity: z.object({
      table: numbers(
        'R0',
        'R_inf',
        'opacity_paper_backing_pct',
        'S_times_grammage',
        'K_times_grammage',
        'R_over_089_backing',
        'opacity_89pct_backing_pct',
        'R0_check',
      ),
    }),
    contrast_ratio: z.object({
      table: numbers('K', 'S', 'X', 'R_over_black_0', 'R_over_white_0.80', 'contrast_ratio_pct'),
    }),
  })
  .parse(JSON.parse(readFileSync(new URL('../../vectors/paper_optics.json', import.meta.url), 'utf8')));

describe('limits of Kubelka and Munk', () => {
  test('a layer that sends nothing back and lets all through leaves the ground', () => {
    for (const ground of [0, 0.05, 0.5, 0.89, 1]) expect(onGround(0, 1, ground)).toBe(ground);
    const { r0, t } = layerOf(0, 0);
    expect([r0, t]).toEqual([0, 1]);
  });

  test('without scatter light is absorbed on both passes: R = Rg · exp(−2K)', () => {
    const { r0, t } = layerOf(0.7, 0);
    expect([r0, onGround(r0, t, 0.8)]).toEqual([0, expect.closeTo(0.8 * Math.exp(-1.4), 12)]);
  });

  test.each(published.kubelka_munk.table)('K/S of $R_inf: a thick layer sends it back over anything', (row) => {
    const { R_inf, K_over_S } = row;
    expect((1 - R_inf) ** 2 / (2 * R_inf)).toBeCloseTo(K_over_S, 7);
    const { r0, t } = layerOf(300 * K_over_S, 300);
    for (const ground of [0, 0.4, 0.9]) expect(onGround(r0, t, ground)).toBeCloseTo(R_inf, 6);
  });

  test.each(published.kubelka_munk.layer)('K $K, S $S, X $X over $R_g sends back $R (Kubelka 1948)', (row) => {
    const { r0, t } = layerOf(row.K * row.X, row.S * row.X);
    expect(onGround(r0, t, row.R_g)).toBeCloseTo(row.R, 7);
  });

  test('a layer on a layer is their sum', () => {
    for (const [K, S] of [
      [0.3, 0.02],
      [1.2, 0.5],
      [2, 0],
    ]) {
      const [below, above, both] = [layerOf(0.4 * K, 0.4 * S), layerOf(0.6 * K, 0.6 * S), layerOf(K, S)];
      for (const ground of [0, 0.3, 0.85]) {
        const twice = onGround(above.r0, above.t, onGround(below.r0, below.t, ground));
        expect(twice).toBeCloseTo(onGround(both.r0, both.t, ground), 12);
      }
      // Kubelka 1948, eqs. for two sheets: T = T₁T₂/(1 − R₁R₂).
      expect((above.t * below.t) / (1 - above.r0 * below.r0)).toBeCloseTo(both.t, 12);
    }
  });

  test.each([
    [0.3, 0.02],
    [2, 0.4],
    [0.01, 1.5],
    [1, 0],
  ])('K %d and S %d come back from their own R0 and T', (K, S) => {
    const { r0, t } = layerOf(K, S);
    const back = absorptionAndScatter(r0, t);
    expect([back.K, back.S]).toEqual([expect.closeTo(K, 7), expect.closeTo(S, 7)]);
  });
});

describe('opacity as paper is judged', () => {
  test.each(published.opacity.table)('R0 $R0, R∞ $R_inf: ISO 2471 and TAPPI T 425', (row) => {
    const { r0, t } = layerOf(row.K_times_grammage, row.S_times_grammage);
    expect(r0).toBeCloseTo(row.R0, 6);
    expect((100 * r0) / row.R_inf).toBeCloseTo(row.opacity_paper_backing_pct, 4);
    expect(onGround(r0, t, STANDARD_WHITE)).toBeCloseTo(row.R_over_089_backing, 6);
    expect((100 * onGround(r0, t, 0)) / onGround(r0, t, STANDARD_WHITE)).toBeCloseTo(row.opacity_89pct_backing_pct, 4);
  });

  test.each(published.contrast_ratio.table)('K $K, S $S, X $X: contrast ratio of ASTM D2805', (row) => {
    const { r0, t } = layerOf(row.K * row.X, row.S * row.X);
    expect(r0).toBeCloseTo(row.R_over_black_0, 7);
    const ratio = (100 * onGround(r0, t, 0)) / onGround(r0, t, 0.8);
    expect(ratio).toBeCloseTo(row.contrast_ratio_pct, 5);
  });
});
