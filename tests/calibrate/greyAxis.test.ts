/** What a conversion must do for any device: greys rise without jumps, and more light is more of the same colour. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import type { Calibration, ToneCurve } from '../../analysis/calibrate/calibration.ts';
import { colourSystem } from '../../analysis/calibrate/colourFit.ts';
import { colourMetric } from '../../analysis/calibrate/colourMetric.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { fitGreyCurve } from '../../analysis/calibrate/greyCurve.ts';
import { COLOUR_MODELS, type FittedModel } from '../../analysis/calibrate/models.ts';
import { curveFunction } from '../../analysis/calibrate/toneCurve.ts';
import { labToXyz, labD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { drawnWorld, sampleWorld } from '../../study/calibrationWorlds.ts';

/** A device's own law, odd on purpose: any power, stray light, a black level, a kink. */
const oddDevice = fc.record({
  exponent: fc.double({ min: 1, max: 3, noNaN: true }),
  flare: fc.double({ min: 0, max: 0.03, noNaN: true }),
  black: fc.double({ min: 0, max: 0.08, noNaN: true }),
  kink: fc.double({ min: -0.25, max: 0.25, noNaN: true }),
  noise: fc.array(fc.double({ min: -0.004, max: 0.004, noNaN: true }), { minLength: 16, maxLength: 16 }),
});
const greysY = Array.from({ length: 16 }, (_, i) => labToXyz(labD50(95 - 5.4 * i, 0, 0))[1]);

type Odd = typeof oddDevice extends fc.Arbitrary<infer T> ? T : never;

function oddValue({ exponent, flare, black, kink }: Odd, Y: number): number {
  const plain = ((Y + flare) / (1 + flare)) ** (1 / exponent);
  return black + (1 - black) * (plain + kink * plain * (1 - plain) * (1 - 2 * plain));
}

function oddCurve(odd: Odd): ToneCurve {
  return fitGreyCurve(
    greysY.map((Y, i) => oddValue(odd, Y) + odd.noise[i]),
    greysY,
  ).curve;
}

/** L* of device greys 0..1 in even steps. */
function greyAxis(c: Calibration, steps: number): number[] {
  const compiled = compileCalibration(c);
  const at = c.curves.map(curveFunction);
  return Array.from({ length: steps + 1 }, (_, i) => {
    const d = i / steps;
    return xyzToLab(signalToXyz([at[0](d), at[1](d), at[2](d)], compiled))[0];
  });
}

/** A fitted map of each model: a target's signals against its colours. */
function fittedMatrix(model: FittedModel): readonly (readonly number[])[] {
  const world = drawnWorld(4);
  const c = fitCalibration(world.readings, world.reference);
  const xyz = c.patches.map((patch) => labToXyz(patch.reference));
  return colourSystem(model, { signals: c.signals, xyz, metrics: xyz.map(colourMetric) })(0.001).matrix;
}

describe('along the greys', () => {
  it('stray light in a power law is found, and none is made up of values that were rounded to 8 bits', () => {
    const plain = { exponent: 2.2, black: 0, kink: 0, noise: greysY.map(() => 0) };
    const strayed = oddCurve({ ...plain, flare: 0.01 });
    expect(Math.abs(strayed.flare / 0.01 - 1)).toBeLessThan(0.1);
    expect(strayed.exponent).toBeCloseTo(2.2, 1);
    const rounding = greysY.map((Y) => Math.round(255 * Y ** (1 / 2.2)) / 255 - Y ** (1 / 2.2));
    expect(oddCurve({ ...plain, flare: 0, noise: rounding }).flare).toBe(0);
  });

  it('a curve never falls and never leaps, between its greys and beyond them, whatever the device', () => {
    fc.assert(
      fc.property(oddDevice, (odd) => {
        const curve = oddCurve(odd);
        const at = curveFunction(curve);
        const root = (d: number): number => (at(d) + curve.flare) ** (1 / curve.exponent);
        const knots = curve.linear.map((value) => (value + curve.flare) ** (1 / curve.exponent));
        const secants = knots.slice(1).map((value, i) => (value - knots[i]) / (curve.device[i + 1] - curve.device[i]));
        // A monotone cubic is nowhere steeper than three times its steepest secant (Fritsch & Carlson 1980).
        const steepest = 3 * Math.max(...secants);
        const d = Array.from({ length: 1001 }, (_, i) => i / 1000);
        const values = d.map(at);
        const roots = d.map(root);
        const falls = d.filter(
          (_, i) => i > 0 && (values[i] < values[i - 1] || (values[i - 1] > 0 && values[i] === values[i - 1])),
        );
        const leaps = d.filter(
          (_, i) => i > 0 && values[i - 1] > 0 && roots[i] - roots[i - 1] > steepest / 1000 + 1e-9,
        );
        expect({ falls, leaps }).toEqual({ falls: [], leaps: [] });
      }),
      { numRuns: 60, seed: 20 },
    );
  });

  it.each(COLOUR_MODELS)('%s: L* rises with the device value, by no more than the step allows', (model) => {
    const matrix = fittedMatrix(model);
    fc.assert(
      fc.property(oddDevice, fc.double({ min: 0.97, max: 1.03, noNaN: true }), (odd, apart) => {
        const [r, g, b] = [odd, { ...odd, exponent: odd.exponent * apart }, { ...odd, flare: odd.flare * apart }].map(
          oddCurve,
        );
        const c: Calibration = { ...nominalCalibration, model, matrix, curves: [r, g, b] };
        const L = greyAxis(c, 255);
        const falls = L.filter((value, i) => i > 0 && L[i - 1] > 1 && value <= L[i - 1]);
        // A whole scale of 255 steps spans about 100 L*; a device as bent as these piles up a dozen times that at most.
        const leaps = L.filter((value, i) => i > 0 && value - L[i - 1] > 12 * (100 / 255));
        expect({ falls, leaps }).toEqual({ falls: [], leaps: [] });
      }),
      { numRuns: 20, seed: 21 },
    );
  });

  it('of calibrations from simulated targets: up from black to white at 16 bits, in the eye’s steps', () => {
    for (const world of [drawnWorld(401), drawnWorld(402), drawnWorld(403), sampleWorld(404), sampleWorld(405)]) {
      const c = fitCalibration(world.readings, world.reference);
      const L = greyAxis(c, 4096);
      const first = L.findIndex((value) => value > 1);
      expect(L.filter((value, i) => i > first && (value <= L[i - 1] || value - L[i - 1] > 1))).toEqual([]);
      // Beyond the last grey nothing stops: the white of the scale is lighter than the target's.
      const lightest = Math.max(...c.patches.map((patch) => patch.fitted[0]));
      expect(L[4096]).toBeGreaterThan(lightest - 0.5);
    }
  });
});

describe('more light', () => {
  it.each(['linear', 'rootPolynomial2', 'rootPolynomial3'] as const)(
    '%s: light times k is XYZ times k, so hue and chroma’s ratios stay (Finlayson, Mackiewicz & Hurlbert 2015)',
    (model) => {
      const c = compileCalibration({ ...nominalCalibration, model, matrix: fittedMatrix(model) });
      const channel = fc.double({ min: 0.001, max: 1, noNaN: true });
      fc.assert(
        fc.property(channel, channel, channel, fc.double({ min: 0.05, max: 8, noNaN: true }), (r, g, b, k) => {
          const once = signalToXyz([r, g, b], c);
          const more = signalToXyz([k * r, k * g, k * b], c);
          once.forEach((value, i) => expect(Math.abs(more[i] - k * value)).toBeLessThan(1e-9 * (1 + k)));
        }),
        { numRuns: 200, seed: 22 },
      );
    },
  );

  it('affine does not, which is why it must win by leaving out', () => {
    const lifted = [
      [0.6, 0.2, 0.15, 0.01],
      [0.25, 0.65, 0.1, 0.01],
      [0.02, 0.1, 0.7, 0.01],
    ];
    const c = compileCalibration({ ...nominalCalibration, model: 'affine', matrix: lifted });
    const [once, twice] = [signalToXyz([0.2, 0.2, 0.2], c), signalToXyz([0.4, 0.4, 0.4], c)];
    expect(twice[1] / once[1]).toBeLessThan(1.96);
  });
});
