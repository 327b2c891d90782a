/** Dyes on a wet strip: nothing is lost, nothing outruns the liquid, and simple dyes land where their R_F says. */
import { describe, expect, test } from 'vitest';
import { CELL_MM, runDye } from '../../sample-scans/generator/chromatography.ts';
import type { DyeHabit, Profile } from '../../sample-scans/generator/chromatography.ts';

const run = { frontMm: 72, spotMm: 2, dispersionMm: 0.05 };
const simple: DyeHabit = { mobility: 0.5, releasePerMm: 8, halfFull: 1e6, load: 6, bound: 0.1 };

function sum(values: Float64Array): number {
  return values.reduce((a, b) => a + b, 0) * CELL_MM;
}

function apexMm({ fromMm, moved }: Profile): number {
  return fromMm + CELL_MM * moved.indexOf(Math.max(...moved));
}

describe('a dye', () => {
  test('is neither lost nor made', () => {
    const { moved, bound } = runDye(run, simple);
    expect(sum(moved) + sum(bound)).toBeCloseTo(simple.load, 6);
    expect(sum(bound) / simple.load).toBeCloseTo(simple.bound, 6);
  });

  test.each([0.2, 0.5, 0.8])('that fibres hold alike at every dose lands at its R_F %d', (mobility) => {
    expect(apexMm(runDye(run, { ...simple, mobility })) / run.frontMm).toBeCloseTo(mobility, 1.7);
  });

  test('never passes the front', () => {
    const { fromMm, moved } = runDye(run, { ...simple, mobility: 0.97 });
    const beyond = moved.filter((_, i) => fromMm + i * CELL_MM > run.frontMm + CELL_MM);
    expect(Math.max(...beyond)).toBeLessThan(1e-9);
  });

  test('drags a tail when the fibres hold scarce dye harder', () => {
    const tail = (halfFull: number): number => {
      const profile = runDye(run, { ...simple, halfFull });
      const top = profile.moved.indexOf(Math.max(...profile.moved));
      const level = 0.1 * profile.moved[top];
      let back = top;
      while (profile.moved[back] > level) back--;
      let ahead = top;
      while (profile.moved[ahead] > level) ahead++;
      return (top - back) / (ahead - top);
    };
    expect(tail(1e6)).toBeLessThan(1.3);
    expect(tail(1.5)).toBeGreaterThan(1.6);
  });

  test('spreads further when exchange with the fibres is slow', () => {
    const height = (releasePerMm: number): number => Math.max(...runDye(run, { ...simple, releasePerMm }).moved);
    expect(height(1)).toBeLessThan(0.8 * height(10));
  });
});
