/** What is a ring beside an edge and what is none, at the limits of colour and width (docs/measures.md, `halo`). */
import { describe, expect, test } from 'vitest';
import type { QuantityName } from '../../analysis/quantity.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { pathOf, smoothEdge, strokeAlong } from '../../study/edges/strokeShapes.ts';
import { measureDrawing } from '../../study/edges/trial.ts';
import { strokesPage } from './strokesPage.ts';

/** One straight smooth line of 0.6 mm with a ring about it, 14 mm long. @param left of the paper's light, alike in all channels */
function ringed(widthMm: number, left: number): (name: QuantityName) => number {
  const line = strokeAlong(
    pathOf((t) => [2 + 14 * t, 2.4 + 0.6 * t]),
    () => 0.3,
    () => 1.2,
    { shape: smoothEdge() },
    seededRandom(5),
  );
  const page = strokesPage([line], {
    widthMm: 18,
    heightMm: 5.6,
    halo: { widthMm, transmittance: [left, left, left] },
  });
  const { quantities } = measureDrawing(page, null);
  return (name) => Number(quantities.find(({ quantity }) => quantity === name)?.value);
}

describe('a ring', () => {
  test('is darker than paper by 1.2 % and more: by two it is told, by one it is not', () => {
    expect(Math.abs(ringed(0.3, 0.98)('halo') - 0.3)).toBeLessThan(0.04);
    expect(ringed(0.3, 0.99)('halo')).toBe(0);
  });

  test('paler than paper is what a scanner’s sharpening leaves', () => {
    expect(ringed(0.3, 1.04)('halo')).toBe(0);
  });

  test('nearly as dark as the ink is the ink’s own breadth', () => {
    const dark = ringed(0.3, 0.3);
    expect(dark('halo')).toBe(0);
    expect(Math.abs(dark('lineWidth') - 1.2)).toBeLessThan(0.01);
  });

  test('is as broad as nine tenths of the blur’s sigma at least', () => {
    // 0.065 mm of scanner and pixel.
    expect(Math.abs(ringed(0.08, 0.8)('halo') - 0.08)).toBeLessThan(0.012);
    expect(ringed(0.03, 0.8)('halo')).toBe(0);
  });
});
