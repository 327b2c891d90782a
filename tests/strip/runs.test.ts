/** Strips from simulated advection, dispersion and sorption, which know nothing of the fit's own shapes. Fixed seeds; docs/study/strip.md has many. */
import { beforeAll, describe, expect, test } from 'vitest';
import { measureStrip } from '../../analysis/measure/strip/measureStrip.ts';
import { runShift } from '../../analysis/measure/strip/runShift.ts';
import { drawStrip } from './drawStrip.ts';
import { judge, measureTrue, nominal, type StripVerdict } from './judgeStrip.ts';
import { namesOf } from '../../analysis/report/names.ts';
import { sentence } from '../../analysis/report/sentences.ts';
import { randomStrip, type TrueStrip } from './randomStrip.ts';
import { simulateRun } from './simulateRun.ts';

const SEEDS = [3, 4, 5, 7, 11, 12, 14];
/** Enough draws for a scatter that is held to wide bounds, and none where only places are asked for. */
const REPEATS = { repeats: 16 };
const PLACES = { repeats: 0 };
let strips: TrueStrip[] = [];
let verdicts: StripVerdict[] = [];

beforeAll(() => {
  strips = SEEDS.map((seed) => randomStrip(seed));
  verdicts = strips.map((strip) => judge(strip, measureTrue(strip, REPEATS)));
}, 120_000);

function ninety(errors: readonly number[]): number {
  const sorted = errors.map(Math.abs).toSorted((a, b) => a - b);
  return sorted[Math.floor(0.9 * sorted.length)];
}

describe('against exact truth, origin and front given', () => {
  test('every dye that stands clear of its neighbours is found, and no more', () => {
    const clear = verdicts.filter((_, i) => strips[i].leastResolution > 0.8);
    expect(clear.length).toBeGreaterThan(3);
    for (const verdict of clear) expect(verdict.countRight).toBe(true);
  });

  test('places, shares and what stayed at the origin', () => {
    const figures = verdicts.flatMap((v) => v.rF);
    expect(figures.length).toBeGreaterThanOrEqual(15);
    expect(ninety(figures.map((f) => f.error))).toBeLessThan(0.005);
    expect(ninety(verdicts.flatMap((v) => v.share).map((f) => f.error))).toBeLessThan(1.2);
    expect(ninety(verdicts.flatMap((v) => (v.origin ? [v.origin.error] : [])))).toBeLessThan(1.5);
  });

  test('uncertainties cover them and are not idle', () => {
    const figures = verdicts.flatMap((v) => v.rF);
    expect(figures.filter((f) => Math.abs(f.error) <= 2 * f.u).length / figures.length).toBeGreaterThan(0.85);
    expect(figures.map((f) => f.u).toSorted((a, b) => a - b)[figures.length >> 1]).toBeLessThan(0.006);
  });

  test('bands count from 1 by R_F, and every figure has its parts', () => {
    for (const { measure } of verdicts) {
      const places = measure.quantities.filter((q) => q.quantity === 'bandPosition');
      expect(places.map((q) => q.subject.band)).toEqual(places.map((_, i) => i + 1));
      const values = places.map((q) => (typeof q.value === 'number' ? q.value : NaN));
      expect(values).toEqual(values.toSorted((a, b) => a - b));
      for (const q of measure.quantities) expect(q.u === null).toBe(q.value === null);
    }
  });
});

describe('invariants', () => {
  test('the same run seen in four directions gives the same places', () => {
    const seen = (['up', 'down', 'left', 'right'] as const).map((travel) =>
      measureTrue(
        randomStrip(21, { dyes: 1, sorption: 'linear', stepMm: 0.2, look: { travel, noise: 0.002, fibres: 0.004 } }),
        PLACES,
      ),
    );
    const places = seen.map((m) => m.bands.map((b) => b.rF?.value ?? NaN));
    expect(places[0]).toHaveLength(1);
    expect(places).toEqual(places.map(() => [expect.closeTo(places[0][0], 9)]));
    expect(places).toHaveLength(4);
  });

  test('300 dpi and 150 dpi give the same places', () => {
    const [coarse, fine] = [150, 300].map((dpi) =>
      measureTrue(
        randomStrip(22, { dyes: 2, sorption: 'linear', stepMm: 0.2, look: { dpi, noise: 0.002, fibres: 0.004 } }),
        PLACES,
      ),
    );
    expect([coarse.bands.length, fine.bands.length]).toEqual([2, 2]);
    coarse.bands.forEach((b, i) =>
      expect(Math.abs((b.rF?.value ?? NaN) - (fine.bands[i].rF?.value ?? NaN))).toBeLessThan(0.001),
    );
  });

  test('a strip held against itself has not shifted', () => {
    const { measure } = verdicts[0];
    const changes = runShift(measure, measure).flatMap((q) => (typeof q.value === 'number' ? [Math.abs(q.value)] : []));
    expect(changes.length).toBeGreaterThan(2);
    expect(Math.max(...changes)).toBeLessThan(1e-9);
  });
});

describe('strips with nothing to tell', () => {
  test('blank paper with pencil line, tideline, fibres and noise has no band', () => {
    for (const seed of [2, 3]) {
      const { look, originMm, frontMm } = randomStrip(seed, { dyes: 1, stepMm: 0.25 });
      const plan = { runMm: look.runMm, spotMm: 2, dispersivityMm: 0.05 };
      const signal = drawStrip(simulateRun([{ mobile: 0.5, dose: 0, fixed: 0 }], plan), [[1, 1, 1]], look);
      const input = { id: 's', signal, calibration: nominal, travel: look.travel, originMm, frontMm, run: null };
      const blank = measureStrip(input);
      expect(blank.bands).toHaveLength(0);
      expect(blank.quantities[0]).toMatchObject({ value: null, u: null });
      expect(blank.quantities[0].flags).toContain('no-bands');
      // It is no fault of the paper.
      expect(blank.flags).toContain('no-ink');
      expect(blank.flags).not.toContain('no-bare-paper');
      expect(
        sentence(blank.quantities[0], namesOf([{ id: 's', kind: 'strip', nib: null, paper: null, run: null }])),
      ).toBe(
        'The R_F of the bands of the strip cannot be told, because nothing in its box is darker than the paper in any colour. Check that the box lies on the ink. Ink lighter than its paper is not measured.',
      );
    }
  });

  test('an ink that never moves stays at the origin, as surely as what else may lie along the run goes unseen', () => {
    for (const seed of [2, 5]) {
      const { look, originMm, frontMm } = randomStrip(seed, { dyes: 1, stepMm: 0.25 });
      const plan = { runMm: look.runMm, spotMm: 3, dispersivityMm: 0.05, stepMm: 0.25 };
      const signal = drawStrip(simulateRun([{ mobile: 0.5, dose: 2, fixed: 1 }], plan), [[0.9, 0.3, 0.1]], look);
      const still = measureStrip({
        id: 's',
        signal,
        calibration: nominal,
        travel: look.travel,
        originMm,
        frontMm,
        run: null,
      });
      expect(still.bands).toHaveLength(0);
      const kept = still.quantities.find(({ quantity }) => quantity === 'originRetained');
      expect(kept?.value).toBeCloseTo(100, 6);
      expect(Number(kept?.u)).toBeGreaterThan(2);
      expect(Number(kept?.u)).toBeLessThan(15);
    }
  });

  test.each([
    ['a sliver', 6, 40],
    ['a few pixels', 3, 3],
    ['one flat colour', 60, 400],
  ])('%s neither throws nor gives a number that is none', (_, widthPx, heightPx) => {
    const signal = {
      data: new Float32Array(3 * widthPx * heightPx).fill(0.2),
      widthPx,
      heightPx,
      dpi: 150,
      originPx: [0, 0] as const,
      clipped: new Uint8Array(widthPx * heightPx),
    };
    const input = {
      id: 's',
      signal,
      calibration: nominal,
      travel: 'up' as const,
      originMm: null,
      frontMm: null,
      run: null,
    };
    for (const q of measureStrip(input).quantities) {
      expect([q.value].flat().every((v) => v === null || Number.isFinite(v))).toBe(true);
      expect(q.u === null).toBe(q.value === null);
    }
  });
});
