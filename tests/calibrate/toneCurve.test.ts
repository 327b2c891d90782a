import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fitGreyCurve } from '../../analysis/calibrate/greyCurve.ts';
import { hermite, monotoneSlopes } from '../../analysis/calibrate/monotoneCubic.ts';
import { curveFunction, curveTable } from '../../analysis/calibrate/toneCurve.ts';
import { TONES } from './madeUpTarget.ts';

/** Light of L*. */
const light = (L: number): number => (L > 8 ? ((L + 16) / 116) ** 3 : (L * 27) / 24389);
const lightness = (Y: number): number => (Y > 216 / 24389 ? 116 * Math.cbrt(Y) - 16 : (Y * 24389) / 27);
const steps = Array.from({ length: 12 }, (_, i) => light(94 - 7 * i));

describe('a tone curve from greys', () => {
  it.each(Object.keys(TONES))('%s: between the greys, above and below them', (name) => {
    const tone = TONES[name];
    const at = curveFunction(fitGreyCurve(steps.map(tone), steps).curve);
    for (let L = 17; L <= 97; L += 0.5) expect(Math.abs(lightness(at(tone(light(L)))) - L)).toBeLessThan(0.001);
    // Inks go deeper than the darkest grey; there the curve is only carried on.
    for (const L of [3, 6, 10]) expect(Math.abs(lightness(at(tone(light(L)))) - L)).toBeLessThan(0.05);
  });

  it('never falls and never goes below 0, at any device value', () => {
    for (const tone of Object.values(TONES)) {
      const table = curveTable(fitGreyCurve(steps.map(tone), steps).curve, 16);
      expect(table).toHaveLength(65536);
      expect(table[0]).toBeGreaterThanOrEqual(0);
      for (let i = 1; i < table.length; i += 7) expect(table[i]).toBeGreaterThanOrEqual(table[i - 1]);
    }
  });

  it('the table of 8 bits holds the same curve', () => {
    const { curve } = fitGreyCurve(steps.map(TONES.sRGB), steps);
    const table = curveTable(curve, 8);
    expect(table).toHaveLength(256);
    expect(table[130]).toBeCloseTo(curveFunction(curve)(130 / 255), 6);
  });

  it('is little moved, beyond the greys, by references that are off by 0.3 L*', () => {
    const off = steps.map((Y, i) => light(lightness(Y) + (i % 2 === 0 ? 0.3 : -0.3)));
    const at = curveFunction(fitGreyCurve(steps.map(TONES['gamma 2.4']), off).curve);
    expect(Math.abs(lightness(at(TONES['gamma 2.4'](light(8)))) - 8)).toBeLessThan(1.5);
  });

  it('greys that break the rise are pooled and said, no others', () => {
    const swapped = [...steps];
    [swapped[4], swapped[5]] = [swapped[5], swapped[4]];
    const { curve, pooled } = fitGreyCurve(steps.map(TONES.sRGB), swapped);
    expect(pooled.flatMap((p, i) => (p ? [i] : []))).toEqual([4, 5]);
    expect(curve.device).toHaveLength(11);
    const { pooled: none } = fitGreyCurve(steps.map(TONES.sRGB), steps);
    expect(none).not.toContain(true);
  });

  it('the order of the greys does not matter', () => {
    const device = steps.map(TONES.sRGB);
    const back = fitGreyCurve([...device].reverse(), [...steps].reverse()).curve;
    const there = fitGreyCurve(device, steps).curve;
    expect(back.device).toEqual(there.device);
    back.linear.forEach((value, i) => expect(value).toBeCloseTo(there.linear[i], 12));
  });

  it('greys in utter disorder still give a rising curve, all of them marked', () => {
    const { curve, pooled } = fitGreyCurve(
      steps.map(TONES.sRGB),
      steps.map((Y) => 1 - Y),
    );
    expect(pooled).not.toContain(false);
    const at = curveFunction(curve);
    expect(at(0.8)).toBeGreaterThan(at(0.3));
  });
});

describe('the monotone cubic', () => {
  it('stays between its knots', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.double({ min: 0.01, max: 2, noNaN: true }), fc.double({ min: 0, max: 3, noNaN: true })), {
          minLength: 3,
          maxLength: 9,
        }),
        (pieces) => {
          const x = [0];
          const y = [0];
          for (const [dx, dy] of pieces) {
            x.push(x.at(-1)! + dx);
            y.push(y.at(-1)! + dy);
          }
          const slopes = monotoneSlopes(x, y);
          for (let i = 0; i + 1 < x.length; i++) {
            let before = y[i];
            for (let t = 0.1; t < 1; t += 0.1) {
              const value = hermite(x, y, slopes, i, x[i] + t * (x[i + 1] - x[i]));
              expect(value).toBeGreaterThanOrEqual(before - 1e-9);
              before = value;
            }
            expect(y[i + 1]).toBeGreaterThanOrEqual(before - 1e-9);
          }
        },
      ),
    );
  });
});
