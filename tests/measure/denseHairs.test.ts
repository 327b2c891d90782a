/** Hairs so close that hardly a place of the edge is free of them: over what they themselves make of the edge none of them would stand out. */
import { describe, expect, test } from 'vitest';
import type { EdgeMeasure } from '../../analysis/measure/edge/measureEdges.ts';
import { isUnevenBreadth } from '../../analysis/measure/edge/unevenBreadth.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import type { StrokeDrawing } from '../../study/edges/drawStrokes.ts';
import { pathOf, sineEdge, smoothEdge, strokeAlong } from '../../study/edges/strokeShapes.ts';
import { measureDrawing } from '../../study/edges/trial.ts';
import { strokesPage } from './strokesPage.ts';

const WIDTH_MM = 0.7;
const HIDDEN = ['lineWidth.at60', 'raggedness', 'feathering.hairs', 'edgeBlur', 'halo', 'halo.dE', 'halo.hue'];

interface Fringe {
  readonly perMm: number;
  readonly lengthMm?: number;
  readonly widthMm?: number;
  readonly shape?: ReturnType<typeof smoothEdge>;
  readonly more?: Partial<StrokeDrawing>;
}

function feathered({ perMm, lengthMm = 0.3, widthMm = 0.08, shape = smoothEdge(), more }: Fringe): EdgeMeasure {
  const edges = { shape, hairsPerMm: perMm, hair: () => ({ lengthMm, widthMm, slant: 0.2 }) };
  const stroke = strokeAlong(
    pathOf((t) => [2 + 24 * t, 2.6 + 0.7 * t]),
    () => WIDTH_MM / 2,
    () => 1.2,
    edges,
    seededRandom(5),
  );
  return measureDrawing(strokesPage([stroke], { heightMm: 6, ...more }), null);
}

const of = ({ quantities }: EdgeMeasure, name: string) => quantities.find(({ quantity }) => quantity === name);
/** Error over 2u. */
const beyond = (found: ReturnType<typeof of>, truth: number) =>
  Math.abs(Number(found?.value) - truth) / (2 * Number(found?.u));

describe('hairs', () => {
  test('of 15 a cm are told one by one', () => {
    const measure = feathered({ perMm: 1.5 });
    expect(Number(of(measure, 'feathering')?.value)).toBeCloseTo(0.3, 1);
    expect(Number(of(measure, 'feathering.hairs')?.value)).toBeGreaterThan(12);
    expect(of(measure, 'halo')?.value).toBe(0);
  });

  test.each<[string, Fringe]>([
    ['25 a cm', { perMm: 2.5 }],
    ['40 a cm', { perMm: 4 }],
    ['short ones', { perMm: 3.6, lengthMm: 0.14 }],
    ['broad ones', { perMm: 4.4, widthMm: 0.14 }],
  ])('that hide one another are told by their length, what they hide is not: %s', (_, fringe) => {
    const measure = feathered(fringe);
    const feathering = of(measure, 'feathering');
    expect(beyond(feathering, fringe.lengthMm ?? 0.3)).toBeLessThan(1);
    expect(Number(feathering?.u)).toBeLessThan(0.035);
    for (const name of HIDDEN) {
      expect(of(measure, name)).toMatchObject({ value: null, u: null });
      expect(of(measure, name)?.flags).toContain('cannot-tell');
      expect(of(measure, name)?.flags).not.toContain('beside-halo');
    }
    const width = of(measure, 'lineWidth');
    expect(beyond(width, WIDTH_MM)).toBeLessThan(1);
    expect(Number(width?.u)).toBeLessThan(0.12);
    expect(measure.detail?.halo).toBeNull();
    expect(measure.detail?.hairs.length).toBeGreaterThan(10);
  });

  test('in a ring beyond their tips are not told', () => {
    const halo = { widthMm: 0.3, transmittance: [0.75, 0.85, 0.95] as const };
    const measure = feathered({ perMm: 4, lengthMm: 0.2, more: { halo } });
    expect(of(measure, 'feathering')).toMatchObject({ value: null });
    expect(of(measure, 'feathering')?.flags).toContain('cannot-tell');
    expect(beyond(of(measure, 'lineWidth'), WIDTH_MM)).toBeLessThan(1);
  });
});

test('waves as steep as hairs move an edge without making it broader', () => {
  const measure = feathered({ perMm: 0, shape: sineEdge(0.04, 0.5) });
  expect(Number(of(measure, 'feathering')?.value)).toBeLessThan(0.03);
  expect(of(measure, 'feathering')?.verdict).toBe('none');
  expect(beyond(of(measure, 'raggedness'), 0.04 / Math.SQRT2)).toBeLessThan(1);
});

test('an edge’s breadth differs by a share of its blur, and by more where pixels hardly hold it', () => {
  expect(isUnevenBreadth(null, 1)).toBe(false);
  expect(isUnevenBreadth(0.15, 2)).toBe(false);
  expect(isUnevenBreadth(0.17, 2)).toBe(true);
  expect(isUnevenBreadth(0.17, 0.6)).toBe(false);
  expect(isUnevenBreadth(0.19, 0.6)).toBe(true);
});
