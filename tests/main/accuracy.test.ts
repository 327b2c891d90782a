/**
 * Whole benches (other inks, papers, hands, scanners than the committed one), rendered, written, measured and held to exact
 * truth. Two fixed seeds; docs/study/accuracy.md has many more.
 */
import { beforeAll, describe, expect, test } from 'vitest';
import { accuracyRows, type Row, summarise } from '../../study/accuracy.ts';

const SEEDS = [31, 33];
let rows: Row[] = [];

beforeAll(async () => {
  for (const seed of SEEDS) rows = [...rows, ...(await accuracyRows(seed, {}))];
}, 300_000);

function figures(quantity: string) {
  const found = summarise(rows).find((s) => s.quantity === quantity);
  if (!found) throw new Error(`nothing was measured of ${quantity}`);
  return found;
}

describe('errors against exact truth', () => {
  test.each([
    // At most twice what these two come out at, so that a change that doubles an error is seen.
    ['shading', 0.5, 1.2],
    ['nibShading', 0.5, 1.3],
    ['swabVariation', 0.4, 1.2],
    ['toneShift', 0.2, 0.7],
    ['bandPosition', 0.002, 0.005],
    ['originRetained', 0.35, 0.6],
    ['bandShare', 0.8, 1.4],
  ])('%s: median at most %f, 90th percentile at most %f', (quantity, median, p90) => {
    const f = figures(quantity);
    expect(f.missing).toBe(0);
    expect(f.median).toBeLessThanOrEqual(median);
    expect(f.p90).toBeLessThanOrEqual(p90);
  });
});

describe('uncertainties', () => {
  test('truth lies within ± 2u in more than 90 of 100 figures', () => {
    const told = rows.filter((r) => r.covered !== null);
    const share = told.reduce((sum, r) => sum + (r.covered ?? 0), 0) / told.length;
    expect(told.length).toBeGreaterThan(140);
    expect(share).toBeGreaterThan(0.9);
  });

  test.each(['inkColour', 'shading', 'toneShift', 'bandPosition'])(
    '%s is covered, and not by idle width',
    (quantity) => {
      const f = figures(quantity);
      expect(f.coveredPercent).toBeGreaterThan(85);
      // u no larger than a few times what a typical error is.
      expect(f.medianU).toBeLessThan(8 * Math.max(f.median, f.p90 / 2));
    },
  );
});
