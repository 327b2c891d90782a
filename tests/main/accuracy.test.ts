/**
 * A whole bench (another ink, papers, hand, scanner than the committed one), rendered, written, measured and held to exact truth, together with
 * the committed one's figures, which sampleScans.test.ts holds to what is measured. docs/study/accuracy.md has many more.
 */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Quantity } from '../../analysis/quantity.ts';
import { accuracyRows, type Row, rowsOf, summarise } from '../../study/accuracy.ts';
import { truthBesideScans } from './truthBesideScans.ts';

const SEED = 33;
const KEPT = join(import.meta.dirname, 'sample-findings.json');
let rows: Row[] = [];

beforeAll(async () => {
  const kept: { findings: readonly Quantity[] } = JSON.parse(await readFile(KEPT, 'utf8'));
  rows = [...rowsOf(await truthBesideScans(), kept.findings), ...(await accuracyRows(SEED, {}))];
}, 300_000);

function figures(quantity: string) {
  const found = summarise(rows).find((s) => s.quantity === quantity);
  if (!found) throw new Error(`nothing was measured of ${quantity}`);
  return found;
}

describe('errors against exact truth', () => {
  test.each([
    // At most twice what these two come out at, so that a change that doubles an error is seen.
    ['shading', 0.47, 1.01],
    ['nibShading', 0.5, 1.3],
    ['swabVariation', 0.38, 1.2],
    ['toneShift', 0.2, 0.7],
    ['bandPosition', 0.0012, 0.0043],
    ['originRetained', 0.35, 0.6],
    ['bandShare', 0.42, 0.91],
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
