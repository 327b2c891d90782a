/** Hairs so close that they hide one another pass for a ring about the line; they read as no feathering at all, with a halo. */
import { describe, expect, test } from 'vitest';
import { isUneven } from '../../analysis/measure/edge/hairs.ts';
import type { EdgeMeasure } from '../../analysis/measure/edge/measureEdges.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { pathOf, smoothEdge, strokeAlong } from '../../study/edges/strokeShapes.ts';
import { measureDrawing } from '../../study/edges/trial.ts';
import { strokesPage } from './strokesPage.ts';

const WIDTH_MM = 0.7;

function feathered(hairsPerMm: number): EdgeMeasure {
  const random = seededRandom(5);
  const edges = {
    shape: smoothEdge(),
    hairsPerMm,
    hair: () => ({ lengthMm: 0.3, widthMm: 0.08, slant: 0.2 }),
  };
  const strokes = [2.6, 6.4].map((y) =>
    strokeAlong(
      pathOf((t) => [2 + 24 * t, y + 0.7 * t]),
      () => WIDTH_MM / 2,
      () => 1.2,
      edges,
      random,
    ),
  );
  return measureDrawing(strokesPage(strokes), null);
}

const of = ({ quantities }: EdgeMeasure, name: string) => quantities.find(({ quantity }) => quantity === name);

describe('hairs', () => {
  test('of 15 a cm are told one by one', () => {
    const measure = feathered(1.5);
    expect(Number(of(measure, 'feathering')?.value)).toBeCloseTo(0.3, 1);
    expect(of(measure, 'halo')?.value).toBe(0);
  });

  test.each([2.5, 4])(
    'of %f a mm hide one another: what they hide is not told, and the width is in doubt by it',
    (perMm) => {
      const measure = feathered(perMm);
      const hidden = ['raggedness', 'feathering', 'feathering.hairs', 'edgeBlur', 'halo', 'halo.dE', 'halo.hue'];
      for (const name of hidden) {
        const found = of(measure, name);
        expect(found).toMatchObject({ value: null, u: null });
        expect(found?.flags).toContain('cannot-tell');
        expect(found?.flags).not.toContain('beside-halo');
      }
      const width = of(measure, 'lineWidth');
      expect(Math.abs(Number(width?.value) - WIDTH_MM)).toBeLessThan(2 * Number(width?.u));
      expect(Number(width?.u)).toBeLessThan(0.02);
      expect(measure.detail?.halo).toBeNull();
      expect(measure.detail?.hairs).toEqual([]);
    },
  );
});

test('a ring is alike all along, but for what paper scatters beyond it', () => {
  const beyond = (scatter: number, paper: number) => ({
    stepPx: 0.5,
    mean: Float64Array.from({ length: 40 }, (_, k) => (k < 8 ? 0.1 : 0)),
    scatter: Float64Array.from({ length: 40 }, (_, k) => (k < 8 ? scatter : paper)),
  });
  expect(isUneven(beyond(0.01, 0.005), 3, 0.7)).toBe(false);
  expect(isUneven(beyond(0.06, 0.005), 3, 0.7)).toBe(true);
  // Noise of the scan is as large on the ring as beyond it.
  expect(isUneven(beyond(0.06, 0.055), 3, 0.7)).toBe(false);
});
