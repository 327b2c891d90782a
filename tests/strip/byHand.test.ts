/** Bands that a person sets, takes away or joins: the fit follows and says so. */
import { beforeAll, describe, expect, test } from 'vitest';
import { fitBands, type Component, type FitData } from '../../analysis/measure/strip/bandFit.ts';
import { asBand } from '../../analysis/measure/strip/bands.ts';
import { mergedByHand, withoutRemoved } from '../../analysis/measure/strip/byHand.ts';
import { measureStrip, type StripMeasure } from '../../analysis/measure/strip/measureStrip.ts';
import type { BandByHand } from '../../analysis/measure/strip/strip.ts';
import { nominal } from './judgeStrip.ts';
import { randomStrip, type TrueStrip } from './randomStrip.ts';

function measured(strip: TrueStrip, bands: readonly BandByHand[], ends = true): StripMeasure {
  const input = {
    id: 's',
    signal: strip.raster,
    calibration: nominal,
    travel: strip.look.travel,
    originMm: ends ? strip.originMm : null,
    frontMm: ends ? strip.frontMm : null,
    run: null,
    bands,
  };
  // How sure the numbers are is asked elsewhere.
  return measureStrip(input, { repeats: 4 });
}

const places = (m: StripMeasure): number[] => m.bands.map((b) => b.rF?.value ?? Number.NaN);
const shares = (m: StripMeasure): number[] => m.bands.map((b) => b.sharePercent.value);

let strip: TrueStrip;
let plain: StripMeasure;
beforeAll(() => {
  strip = randomStrip(21, { dyes: 3, sorption: 'linear', look: { travel: 'up', noise: 0.002, fibres: 0.004 } });
  plain = measured(strip, []);
});

test('nothing by hand, nothing said of it', () => {
  expect(plain.bands).toHaveLength(3);
  expect(plain.flags).not.toContain('by-hand');
});

describe('taken away', () => {
  test('the band goes, the others stay, and every number says so', () => {
    const [first, second, third] = places(plain);
    const less = measured(strip, [{ says: 'none', rF: second + 0.005 }]);
    expect(less.bands).toHaveLength(2);
    expect(Math.abs(places(less)[0] - first)).toBeLessThan(1e-6);
    expect(Math.abs(places(less)[1] - third)).toBeLessThan(1e-6);
    for (const q of less.quantities) expect(q.flags).toContain('by-hand');
    // Its colour is no dye's: what is left shares the whole.
    const left = shares(plain);
    const whole = 100 - left[1];
    expect(Math.abs(shares(less)[0] - (100 * left[0]) / whole)).toBeLessThan(0.01);
  });

  test('with every band gone, nothing is told of what stayed at the origin', () => {
    const none = measured(
      strip,
      places(plain).map((rF) => ({ says: 'none', rF })),
    );
    expect(none.bands).toHaveLength(0);
    expect(none.originRetained).toBeNull();
    for (const { value, flags } of none.quantities) {
      expect(value).toBeNull();
      expect(flags).toContain('no-bands');
    }
  });

  test('a place where no band is changes nothing but the flag', () => {
    const free = [0.02, 0.25, 0.5, 0.75, 0.98].find((rF) => places(plain).every((p) => Math.abs(p - rF) > 0.09))!;
    const same = measured(strip, [{ says: 'none', rF: free }]);
    expect(places(same)).toEqual(places(plain));
    expect(same.flags).toContain('by-hand');
  });
});

test('two joined are one, with the share of both', () => {
  const [first, second] = places(plain);
  const joined = measured(strip, [{ says: 'one', rF: first, with: second }]);
  expect(joined.bands).toHaveLength(2);
  const [a, b] = shares(plain);
  expect(Math.max(...shares(joined).map((s) => -Math.abs(s - a - b)))).toBeGreaterThan(-0.7);
});

describe('set', () => {
  test('a pinned band stays where it is found anyway', () => {
    const pinned = measured(
      strip,
      places(plain).map((rF) => ({ says: 'band' as const, rF })),
    );
    expect(pinned.bands).toHaveLength(3);
    places(pinned).forEach((rF, i) => expect(Math.abs(rF - strip.bands[i].rF)).toBeLessThan(0.003));
  });

  // Two dyes of one colour a little apart: the fit takes them for one band with a tail, a person knows better.
  test('two pins where the fit saw one band make two', () => {
    const alone = randomStrip(33, { dyes: 1, sorption: 'linear', look: { travel: 'up' } });
    const one = measured(alone, []);
    expect(one.bands).toHaveLength(1);
    const [rF] = places(one);
    const half = (0.3 * one.bands[0].widthMm.value) / alone.look.runMm;
    const two = measured(alone, [
      { says: 'band', rF: rF - half },
      { says: 'band', rF: rF + half },
    ]);
    expect(two.bands).toHaveLength(2);
    expect(two.flags).toContain('by-hand');
  });

  test('a faint one below the noise is told when a person sets it', () => {
    const faint = measured(strip, [{ says: 'band', rF: 0.99 }]);
    for (const q of faint.quantities) {
      expect([q.value].flat().every((v) => v === null || Number.isFinite(v))).toBe(true);
      expect(q.u === null).toBe(q.value === null);
    }
    expect(faint.flags).toContain('by-hand');
  });
});

test('without origin and front an R_F has no place: nothing is done by hand', () => {
  const bare = randomStrip(21, { dyes: 2, look: { pencil: 0, tideline: 0 } });
  const found = measured(bare, [{ says: 'band', rF: 0.5 }], false);
  expect(found.frontMm).toBeNull();
  expect(found.flags).not.toContain('by-hand');
});

describe('as near as a hand points', () => {
  const bins = 200;
  const component = (meanMm: number, sdMm: number): Component => ({
    kind: 'band',
    tail: 'none',
    meanMm,
    sdMm,
    drag: 0,
    delay: 0,
    heights: [0.3, 0.2, 0.1],
  });
  /** Noise of a hundredth in each channel, and Gaussian bands alone. */
  const dataOf = (components: readonly Component[]): FitData => {
    const whiten = Float64Array.from({ length: 9 * bins }, (_, k) => ([0, 4, 8].includes(k % 9) ? 100 : 0));
    const density = Float64Array.from({ length: 3 * bins }, (_, k) =>
      components.reduce((sum, c) => {
        const t = (0.4 * (k % bins) - c.meanMm) / c.sdMm;
        return sum + c.heights[Math.floor(k / bins)] * Math.exp(-0.5 * t * t);
      }, 0),
    );
    return { bins, firstMm: 0, binMm: 0.4, density, whiten, chance: whiten };
  };
  const shown = (components: readonly Component[]) => {
    const data = dataOf(components);
    return { data, bands: components.map((c) => asBand([c], data)) };
  };

  // 2 mm is common practice, no source.
  test.each([
    ['1.8 mm off a narrow band means it', 1, 1.8, 0],
    ['2.3 mm off a narrow one means none', 1, 2.3, 1],
    ['2.3 mm off one whose deviation is 2.5 mm means it', 2.5, 2.3, 0],
    ['2.8 mm off that means none', 2.5, 2.8, 1],
  ])('a place %s', (_, sdMm, offMm, left) => {
    const { data, bands } = shown([component(40, sdMm)]);
    const { fit, data: rest } = withoutRemoved(
      { components: bands[0].components, fitted: data.density, chi2: 0 },
      bands,
      data,
      [40 + offMm],
    );
    expect(fit.components).toHaveLength(left);
    // What is taken away is gone from the data and from the curve.
    expect(Math.max(...rest.density)).toBeCloseTo(0.3 * left, 9);
    expect(Math.max(...fit.fitted)).toBeCloseTo(0.3 * left, 9);
  });

  test('of two bands within reach the nearer one is meant; what is no band’s joins nothing', () => {
    const { data, bands } = shown([component(38, 1), component(40.5, 1), component(60, 1)]);
    const joined = mergedByHand(bands, data, [[39.4, 60]]);
    expect(joined.map(({ components }) => components.map(({ meanMm }) => meanMm))).toEqual([[38], [40.5, 60]]);
    expect(mergedByHand(bands, data, [[50, 60]])).toEqual(bands);
  });

  test('a pin lets its band’s mean go 1.2 mm at most', () => {
    const data = dataOf([component(42, 2)]);
    const limits = { originMm: 5, frontMm: 75, originReachMm: 1.5 };
    const meanFrom = (pinMm: number) =>
      fitBands(data, [{ ...component(pinMm, 2), pinMm }], limits).components[0].meanMm;
    expect(meanFrom(41)).toBeCloseTo(42, 3);
    expect(meanFrom(40)).toBeCloseTo(41.2, 3);
    expect(meanFrom(44)).toBeCloseTo(42.8, 3);
  });
});
