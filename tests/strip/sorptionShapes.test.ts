/** Shapes that sorption gives a band, against what they are defined by, and the laws by which colours add. */
import { describe, expect, test } from 'vitest';
import { delayedDensity, overloadedDensity } from '../../analysis/measure/strip/sorptionShapes.ts';
import { DENSITIES_ADD, layerAdds } from '../../analysis/measure/strip/addition.ts';

const STEP = 0.02;

/** ∫ tᵏ f over −15..120. */
function moment(f: (t: number) => number, k: number): number {
  let sum = 0;
  for (let t = -15; t < 120; t += STEP) sum += STEP * f(t) * t ** k;
  return sum;
}

describe.each([0.1, 0.8, 2, 3.5, 4.5])('an overloaded band, ln(1 + distortion) %f', (lnDistortion) => {
  const f = (t: number): number => overloadedDensity(t, lnDistortion);

  test('unit area, its mean at 0, unit deviation', () => {
    expect(moment(f, 0)).toBeCloseTo(1, 4);
    expect(moment(f, 1)).toBeCloseTo(0, 3);
    expect(moment(f, 2)).toBeCloseTo(1, 3);
  });

  test('the steep side is towards the run, the ramp behind', () => {
    let crown = 0;
    for (let t = -4; t < 4; t += STEP) if (f(t) > f(crown)) crown = t;
    const reach = (way: number): number => {
      let t = 0;
      while (f(crown + way * t) > 0.1 * f(crown)) t += STEP;
      return t;
    };
    expect(reach(1)).toBeGreaterThan(reach(-1) + STEP);
  });
});

test('hardly distorted it is the Gaussian', () => {
  for (const t of [-2, -0.5, 0, 1, 2.5])
    expect(overloadedDensity(t, 1e-3)).toBeCloseTo(Math.exp(-0.5 * t * t) / Math.sqrt(2 * Math.PI), 3);
});

describe.each([
  [0.2, 1],
  [0.8, 3],
  [3, 0.7],
] as const)('a delayed band, held back %f times for %f', (often, stretch) => {
  const f = (t: number): number => delayedDensity(t, often, stretch);

  test('unit area; mean and variance of a compound Poisson and a Gaussian', () => {
    expect(moment(f, 0)).toBeCloseTo(1, 4);
    expect(moment(f, 1)).toBeCloseTo(often * stretch, 3);
    expect(moment(f, 2) - moment(f, 1) ** 2).toBeCloseTo(1 + 2 * often * stretch ** 2, 1);
  });

  test('is the shares of a Gaussian convolved with an exponential once, twice, three times …', () => {
    const step = 0.02;
    const from = -8;
    let curve = Float64Array.from({ length: 700 }, (_, i) => gaussian(from + i * step));
    let share = Math.exp(-often);
    const sum = curve.map((v) => share * v);
    const kept = Math.exp(-step / stretch);
    for (let k = 1; k < 14; k++) {
      // y' = (x − y)/stretch, solved exactly for x that goes straight from point to point.
      const next = new Float64Array(curve.length);
      const slope = 1 - (stretch / step) * (1 - kept);
      for (let i = 1; i < curve.length; i++)
        next[i] = kept * next[i - 1] + (1 - kept - slope) * curve[i - 1] + slope * curve[i];
      curve = next;
      share *= often / k;
      for (let i = 0; i < sum.length; i++) sum[i] += share * curve[i];
    }
    for (const t of [-2, -0.5, 0, 1, 3, 5]) expect(f(t)).toBeCloseTo(sum[Math.round((t - from) / step)], 3);
  });
});

function gaussian(t: number): number {
  return Math.exp(-0.5 * t * t) / Math.sqrt(2 * Math.PI);
}

describe('laws of addition', () => {
  const layer = layerAdds([0.84, 0.83, 0.79]);

  test('there and back again', () => {
    for (const c of [0, 1, 2]) {
      for (const density of [-0.02, 0, 0.003, 0.1, 0.7, 1.8])
        expect(layer.densityOf(c, layer.amountOf(c, density))).toBeCloseTo(density, 10);
    }
  });

  test('a trace has its density for an amount, and the slope is the derivative', () => {
    expect(layer.amountOf(1, 1e-5)).toBeCloseTo(1e-5, 8);
    for (const density of [0.05, 0.4, 1.2]) {
      const slope = (layer.amountOf(2, density + 1e-6) - layer.amountOf(2, density - 1e-6)) / 2e-6;
      expect(layer.slopeAt(2, density)).toBeCloseTo(slope, 4);
    }
  });

  test('two equal doses: densities double by the one law, K/S by the other', () => {
    const one = 0.3;
    const twice = layer.densityOf(0, 2 * layer.amountOf(0, one));
    const ks = (density: number): number => {
      const R = 0.84 * 10 ** -density;
      return (1 - R) ** 2 / (2 * R);
    };
    expect(ks(twice) - ks(0)).toBeCloseTo(2 * (ks(one) - ks(0)), 9);
    expect(twice).toBeLessThan(0.6);
    expect(DENSITIES_ADD.densityOf(0, 2 * DENSITIES_ADD.amountOf(0, one))).toBeCloseTo(0.6, 12);
  });
});
