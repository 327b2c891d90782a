/** Drawn strokes of which all was read wrongly that one thing hid: a stub's broad strokes, a faint ring beside dark ink. */
import { describe, expect, test } from 'vitest';
import type { QuantityName } from '../../analysis/quantity.ts';
import { isShown } from '../../analysis/measure/edge/across.ts';
import { edgeRows, type EdgeRow } from '../../study/edges/trial.ts';
import type { EdgeKind } from '../../study/edges/worlds.ts';

function rowOf(seed: number, kind: EdgeKind, quantity: QuantityName): EdgeRow {
  const row = edgeRows(seed, 300, kind).find((r) => r.quantity === quantity);
  if (!row) throw new Error(`${quantity} of seed ${seed} is not told`);
  return row;
}

/** Most stations run the thin way; the broad strokes, a fifth of the line, passed for strokes that lie on one another (0.464 mm for 0.522). */
test('the broad strokes of a stub count', () => {
  const { value, truth } = rowOf(322, 'stub', 'lineWidth');
  expect(Math.abs(value! - truth)).toBeLessThan(0.001);
  const sd = rowOf(322, 'stub', 'lineWidth.sd');
  expect(Math.abs(sd.value! - sd.truth)).toBeLessThan(0.003);
});

describe('a ring that moves the one step by little', () => {
  // Without it the line is 0.04 mm too broad.
  test.each([406, 478])('is found in drawing %i', (seed) => {
    const ring = rowOf(seed, 'halo', 'halo');
    expect(Math.abs(ring.value! - ring.truth)).toBeLessThan(0.01);
    const width = rowOf(seed, 'halo', 'lineWidth');
    expect(Math.abs(width.value! - width.truth)).toBeLessThan(0.015);
  });
});

/** Bilinear resampling turns an edge into several that lie on one another: a "ring" of half the ink's contrast that one step nearly explains (0.672 mm for 0.736). */
test('a ring half as dark as the ink must move the one step by more', () => {
  expect(isShown(0.003, 0.54)).toBe(false);
  expect(isShown(0.003, 0.2)).toBe(true);
  expect(isShown(0.008, 0.54)).toBe(true);
});
