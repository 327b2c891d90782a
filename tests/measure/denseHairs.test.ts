/** Hairs so close that hardly a place of the edge is free of them: over what they themselves make of the edge none of them would stand out. */
import { describe, expect, test } from 'vitest';
import type { EdgeMeasure } from '../../analysis/measure/edge/measureEdges.ts';
import { isUnevenBreadth } from '../../analysis/measure/edge/unevenBreadth.ts';
import { hiddenHairs } from '../../analysis/measure/edge/hiddenHairs.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import type { StrokeDrawing } from '../../study/edges/drawStrokes.ts';
import { pathOf, sineEdge, smoothEdge, strokeAlong } from '../../study/edges/strokeShapes.ts';
import { measureDrawing } from '../../study/edges/trial.ts';
import { strokesPage } from './strokesPage.ts';

const WIDTH_MM = 0.7;
const HIDDEN = ['lineWidth.at60', 'raggedness', 'edgeBlur', 'halo', 'halo.dE', 'halo.hue'];

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
    const hairs = of(measure, 'feathering.hairs');
    expect(hairs?.flags).toContain('lower-bound');
    expect(Number(hairs?.value) - 2 * Number(hairs?.u)).toBeLessThan(10 * fringe.perMm);
    expect(Number(hairs?.value)).toBeGreaterThan(5);
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

/** Hairs at places of chance, on both sides of a line. */
function byChance(perCm: number, dpi: number, more: Partial<StrokeDrawing> = {}, lengthMm = 0.3): EdgeMeasure {
  const random = seededRandom(11);
  const bare = [2.6, 6.2].map((y) =>
    strokeAlong(
      pathOf((t) => [2 + 24 * t, y + 0.7 * t]),
      () => WIDTH_MM / 2,
      () => 1.2,
      { shape: smoothEdge() },
      random,
    ),
  );
  const strokes = bare.map((stroke) => ({
    ...stroke,
    hairs: ([-1, 1] as const).flatMap((side) =>
      placesByChance(perCm / 10, 24, random).map((atMm) => ({
        index: Math.floor(atMm / stroke.stepMm),
        side,
        lengthMm,
        widthMm: 0.08,
        slant: 0.2,
      })),
    ),
  }));
  const measure = measureDrawing(strokesPage(strokes, { dpi, bits: dpi > 300 ? 16 : 8, ...more }), null);
  return measure;
}

function placesByChance(perMm: number, lengthMm: number, random: () => number): number[] {
  const at: number[] = [];
  for (let d = 0; ;) {
    d -= Math.log(1 - random()) / perMm;
    if (d >= lengthMm) return at;
    at.push(d);
  }
}

describe('hairs seen as one with their neighbours', () => {
  test.each([
    [4, 300],
    [12, 300],
    [4, 600],
    [12, 600],
    [22, 600],
  ])('are counted: %i a cm by chance at %i dpi', (perCm, dpi) => {
    const hairs = of(byChance(perCm, dpi), 'feathering.hairs');
    const error = (Number(hairs?.value) - perCm) / (2 * Number(hairs?.u));
    expect(Math.abs(error)).toBeLessThan(1);
    expect(Number(hairs?.value)).toBeGreaterThan(0.7 * perCm);
    expect(Number(hairs?.u)).toBeLessThan(0.3 * perCm);
  });

  test('are as many as those that just part say, by chance; none where none come near', () => {
    // Places of chance at 12 a cm, chains of less than 0.21 mm seen as one: 12 exp(−0.25) = 9.3 are left.
    const random = seededRandom(3);
    const deadMm = 0.04 + 1.5 * 0.06 + 1.6 / 20;
    const lines = Array.from({ length: 200 }, () => {
      const all = placesByChance(1.2, 30, random);
      const seen = all.filter((d, k) => k === 0 || d - all[k - 1] > deadMm);
      return { hairs: seen.map((d) => ({ root: 20 * d })), stations: 600, stepPx: 1 };
    });
    const found = hiddenHairs(lines, 0, 1.2, 20, 200 * 600);
    // Asked with the same dead distance of 0.21 mm; the exponent is told 1.3 times, for what parts by chance.
    expect(Math.log(found.times) / 1.3).toBeCloseTo(1.2 * deadMm, 1);
    const even = [{ hairs: [0, 30, 60, 90].map((root) => ({ root })), stations: 120, stepPx: 1 }];
    expect(hiddenHairs(even, 0, 1.2, 20, 120)).toMatchObject({ times: 1, repeat: 0 });
    expect(hiddenHairs(even, 4, 1.2, 20, 120).taken).toBeCloseTo((8 * 20 * deadMm) / 120, 9);
  });
});

test('hairs in a ring end where they do, not with the ring about them', () => {
  const halo = { widthMm: 0.25, transmittance: [0.8, 0.9, 0.97] as const };
  for (const dpi of [300, 600]) {
    const measure = byChance(5, dpi, { halo }, 0.25);
    expect(beyond(of(measure, 'feathering'), 0.25)).toBeLessThan(1);
    expect(beyond(of(measure, 'feathering.hairs'), 5)).toBeLessThan(1);
    expect(beyond(of(measure, 'halo'), 0.25)).toBeLessThan(1);
    expect(Number(of(measure, 'feathering')?.u)).toBeLessThan(0.03);
  }
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
  // Hardly blurred at all.
  expect(isUnevenBreadth(0.74, 0)).toBe(false);
  expect(isUnevenBreadth(0.76, 0)).toBe(true);
});
