/** How a strip lies in its box and what is wrong with it: bent, askew, cut off, run off, drowned, shaded, not there. */
import { describe, expect, test } from 'vitest';
import { stripView } from '../../analysis/locate/lane.ts';
import { straighten } from '../../analysis/locate/straighten.ts';
import { ranOtherWay } from '../../analysis/measure/strip/likelyWay.ts';
import { measureStrip } from '../../analysis/measure/strip/measureStrip.ts';
import { seeStrip, type Lying, type SeenStrip } from '../../analysis/measure/strip/seeStrip.ts';
import { STRIP_DEFAULTS } from '../../analysis/measure/strip/strip.ts';
import { sentence } from '../../analysis/report/sentences.ts';
import { namesOf } from '../../analysis/report/names.ts';
import { drawStrip, type StripLook, type Travel } from './drawStrip.ts';
import { nominal } from './judgeStrip.ts';
import { randomStrip, type TrueStrip } from './randomStrip.ts';
import { simulateRun } from './simulateRun.ts';

const LINES: Partial<StripLook> = { dpi: 110, pencil: 0.25, tideline: 0.04 };

function strip(seed: number, look: Partial<StripLook> = {}): TrueStrip {
  return randomStrip(seed, { dyes: 3, run: 'fresh', stepMm: 0.25, look: { ...LINES, ...look } });
}

function seen(of: TrueStrip, ends: 'given' | 'found' = 'found'): SeenStrip {
  const given = ends === 'given';
  const found = seeStrip(
    {
      signal: of.raster,
      travel: of.look.travel,
      originMm: given ? of.originMm : null,
      frontMm: given ? of.frontMm : null,
    },
    STRIP_DEFAULTS,
  );
  if (found === null) throw new Error('too few pixels');
  return found;
}

function misses({ ends, toBox }: SeenStrip, of: TrueStrip): [origin: number, front: number] {
  const at = (mm: number | null): number => (mm === null ? Number.NaN : toBox(mm));
  return [at(ends.originMm) - of.originMm, at(ends.frontMm) - of.frontMm];
}

describe('bent and leaning strips', () => {
  const cases: readonly (readonly [Travel, number, number, StripLook['bed']])[] = [
    ['up', 3, 0, [0.95, 0.95, 0.95]],
    ['down', -3, 0, [0.02, 0.02, 0.02]],
    ['left', 2, 2, [0.95, 0.95, 0.95]],
    ['right', 0, -3, [0.02, 0.02, 0.02]],
  ];
  test.each(cases)('travel %s, bent by %f mm, leaning by %f°', (travel, bendMm, leanDeg, bed) => {
    const of = strip(43, { travel, bendMm, leanDeg, bed, bedMm: 5 });
    const found = seen(of);
    for (const miss of misses(found, of)) expect(Math.abs(miss)).toBeLessThan(0.08);
    // Along the strip itself a run is as long as it was.
    expect(Math.abs((found.ends.frontMm ?? 0) - (found.ends.originMm ?? 0) - of.look.runMm)).toBeLessThan(0.1);
  });

  test('a straight strip is left as it is, to the pixel', () => {
    for (const seed of [44, 46]) {
      const { raster, look } = strip(seed, { bedMm: 1.4 });
      const across = look.travel === 'left' || look.travel === 'right';
      const view = stripView(raster, across ? 'x' : 'y', false);
      expect(straighten(view, [0, view.along])).toBeNull();
    }
  });

  test('the way from the box to the strip and back', () => {
    const { raster } = strip(43, { travel: 'down', bendMm: 3, leanDeg: 1, bedMm: 5 });
    const view = stripView(raster, 'y', false);
    const lie = straighten(view, [0, view.along]);
    expect(lie?.offMm).toBeGreaterThan(2);
    for (const mm of [0, 11.3, 50, 94]) expect(lie?.alongBox(lie.alongStrip(mm))).toBeCloseTo(mm, 6);
  });
});

describe('origin and front are found', () => {
  test.each([
    ['a pencil tick at one edge instead of a tideline', { frontLine: 'tick' }],
    ['an ink line instead of pencil', { originInk: [0.1, 1.4, 1.2] }],
    ['travel to the left', { travel: 'left' }],
    ['a dark bed beyond the paper’s end', { bed: [0.02, 0.02, 0.02], bedMm: 1.2 }],
  ] satisfies readonly (readonly [string, Partial<StripLook>])[])('%s', (_, look) => {
    const of = strip(47, look);
    for (const miss of misses(seen(of), of)) expect(Math.abs(miss)).toBeLessThan(0.05);
  });

  test('without a line the origin is no first band: it is told as not found', () => {
    const of = randomStrip(100, { run: 'fresh', stepMm: 0.25, look: { pencil: 0 } });
    const { ends } = seen(of);
    expect(ends.originMm).toBeNull();
  });
});

test('a given origin’s pencil line over blank paper is not taken for the paper’s end', () => {
  const found = seen(randomStrip(221, { run: 'dried' }), 'given');
  expect((found.ends.originMm ?? 0) - found.profile.firstMm).toBeGreaterThan(5);
});

describe('what is wrong is said', () => {
  test('cut off before the front', () => {
    const whole = strip(48);
    const cut = strip(48, { ...whole.look, lengthMm: whole.look.originMm + whole.bands[1].rF * whole.look.runMm });
    const { faults, ends } = seen(cut);
    expect(ends.frontMm).toBeNull();
    expect(faults).toContain('strip-cut-off');
    expect(seen(whole).faults).toEqual([]);
  });

  test('run off the paper', () => {
    const whole = strip(48);
    const paperEndMm = whole.look.originMm + whole.bands[2].rF * whole.look.runMm;
    const { faults, ends } = seen(strip(48, { ...whole.look, paperEndMm, tideline: 0 }));
    expect(ends.frontMm).toBeNull();
    expect(faults).toContain('front-off-strip');
  });

  test('a paper that ends beyond the front changes nothing', () => {
    const whole = strip(48);
    const of = strip(48, { ...whole.look, paperEndMm: whole.look.originMm + whole.look.runMm + 3 });
    const found = seen(of);
    expect(found.faults).toEqual([]);
    expect(Math.abs(misses(found, of)[1])).toBeLessThan(0.07);
  });

  test.each([4, 2.5, 0.6])('a box that runs %d mm over the paper’s end, into its shadow on the lid', (overMm) => {
    const { look } = strip(48, { travel: 'up' });
    const paperEndMm = look.originMm + look.runMm + 9;
    const lid = { paperEndMm, lengthMm: paperEndMm + overMm, bed: [0.66, 0.67, 0.68] as const, endShade: 0.25 };
    const of = strip(48, { ...look, ...lid });
    const found = seen(of);
    expect(found.faults).toEqual([]);
    for (const miss of misses(found, of)) expect(Math.abs(miss)).toBeLessThan(0.07);
  });

  test('a strip that ran the other way, where nobody gave its ends', () => {
    const { raster, originMm, frontMm } = strip(48, { travel: 'left' });
    const told = (travel: Travel, ends: Partial<Lying> = {}) => {
      const input = { signal: raster, travel, originMm: null, frontMm: null, ...ends };
      return ranOtherWay(input, seeStrip(input, STRIP_DEFAULTS)!, STRIP_DEFAULTS);
    };
    expect(told('right')).toBe(true);
    expect(told('left')).toBe(false);
    expect(told('right', { originMm })).toBe(false);
    expect(told('right', { frontMm })).toBe(false);
  });

  test('an origin that stood in the liquid', () => {
    const of = strip(49, { originMm: 14 });
    const drowned = simulateRun([{ mobile: 0.5, dose: 3, fixed: 1 }], { runMm: 60, spotMm: 12, dispersivityMm: 0.05 });
    const raster = drawStrip(drowned, [[0.3, 0.5, 0.2]], of.look);
    expect(seen({ ...of, raster }, 'given').faults).toContain('origin-submerged');
    expect(seen(of, 'given').faults).toEqual([]);
  });

  test('a shadow, whose step is taken out of the paper', () => {
    const of = strip(50);
    const shadow = { fromMm: of.look.originMm + 0.45 * of.look.runMm, share: 0.2 };
    const shaded = seen(strip(50, { ...of.look, shadow }));
    expect(shaded.faults).toEqual(['shadow']);
    const plain = seen(of);
    const far = plain.density.map((v, k) => Math.abs(v - shaded.density[k])).toSorted();
    expect(far[Math.floor(0.9 * far.length)]).toBeLessThan(0.001);
  });

  test('no strip at all, in a sentence', () => {
    const data = new Float32Array(3 * 120 * 560).fill(0.93);
    const signal = {
      data,
      widthPx: 120,
      heightPx: 560,
      dpi: 150,
      originPx: [0, 0] as const,
      clipped: new Uint8Array(120 * 560),
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
    const [first] = measureStrip(input).quantities;
    expect(first.flags).toContain('no-strip');
    expect(sentence(first, namesOf([{ id: 's', kind: 'strip', nib: null, paper: null, run: null }]))).toBe(
      'The R_F of the bands of the strip cannot be told, because there is no strip in its box. Check that the box lies on the strip, lengthwise.',
    );
  });
});
