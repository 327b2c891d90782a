/** References that are themselves in doubt: how a card that was taught is fitted. */
import { describe, expect, it } from 'vitest';
import type { Calibration, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { fitGreyCurve } from '../../analysis/calibrate/greyCurve.ts';
import { doubtOf, relativeDoubtOfY, trustIn } from '../../analysis/calibrate/referenceDoubt.ts';
import { smoothedSteps } from '../../analysis/calibrate/smoothedSteps.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, labToXyz, xyzToLab } from '../../analysis/colour/lab.ts';
import { linearSignals } from '../../analysis/calibrate/channelCurves.ts';
import { predictColour } from '../../analysis/calibrate/colourFit.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';
import { sampleWorld } from '../../study/calibrationWorlds.ts';
import { xyzOf } from '../../study/spectra.ts';

const seeds = [301, 302, 303];

/** Values off by their own u, some patches five times worse than others. */
function taught(reference: TargetReference, seed: number): TargetReference {
  const random = seededRandom(seed);
  const patches = new Map(
    [...reference.patches].map(([id, { lab }]) => {
      const level = 0.3 * Math.exp(1.2 * normal(random));
      const u = [level, 1.3 * level, 1.3 * level] as const;
      const off = [0, 1, 2].map((k) => lab[k] + u[k] * normal(random));
      return [id, { lab: labD50(off[0], off[1], off[2]), u }] as const;
    }),
  );
  return { patches };
}

const withoutU = ({ patches }: TargetReference): TargetReference => ({
  patches: new Map([...patches].map(([id, { lab }]) => [id, { lab }])),
});

function meanError(seed: number, reference: TargetReference): number {
  const world = sampleWorld(seed);
  const c = fitCalibration(world.readings, reference);
  const errors = world.spectra.map((r) => {
    const [signal] = linearSignals([{ device: world.device(r), light: [1, 1, 1] }], c.curves);
    return deltaE2000(xyzToLab(xyzOf(r)), xyzToLab(predictColour(c, signal)));
  });
  return errors.reduce((sum, value) => sum + value, 0) / errors.length;
}

describe('a card that was taught', () => {
  it('teaches much better with its patches’ u than without, nearly as well as known values', () => {
    for (const seed of seeds) {
      const known = sampleWorld(seed).reference;
      const card = taught(known, seed);
      const [best, weighed, believed] = [known, card, withoutU(card)].map((reference) => meanError(seed, reference));
      expect(weighed).toBeLessThan(0.75 * believed);
      expect(weighed).toBeLessThan(1.25 * best);
    }
  });

  it('a patch that nobody knows has no say in the left-out figures', () => {
    const { readings, reference } = sampleWorld(seeds[0]);
    const patches = new Map(reference.patches);
    const { lab } = patches.get('C05')!;
    patches.set('C05', { lab: labD50(lab[0], lab[1] + 12, lab[2]), u: [60, 60, 60] });
    const doubtful = fitCalibration(readings, { patches });
    const without = fitCalibration(
      readings.filter(({ id }) => id !== 'C05'),
      reference,
    );
    expect(doubtful.leftOutMean).toBeCloseTo(without.leftOutMean!, 2);
    expect(doubtful.leftOutMedian).toBeCloseTo(without.leftOutMedian!, 1);
    patches.set('C05', { lab: labD50(lab[0], lab[1] + 12, lab[2]) });
    expect(fitCalibration(readings, { patches }).leftOutMean!).toBeGreaterThan(doubtful.leftOutMean! + 0.05);
  });

  it('u of 0 everywhere changes nothing', () => {
    const { readings, reference } = sampleWorld(seeds[1]);
    const exact = new Map([...reference.patches].map(([id, { lab }]) => [id, { lab, u: [0, 0, 0] as const }]));
    const figures = ({ matrix, curves, leftOutMean, candidates, cautions }: Calibration) => ({
      matrix,
      curves,
      leftOutMean,
      candidates,
      cautions,
    });
    expect(figures(fitCalibration(readings, { patches: exact }))).toEqual(figures(fitCalibration(readings, reference)));
  });
});

describe('the weights', () => {
  it('half for a patch known to √3 of the scanner’s own error, all for one without u', () => {
    const grey = labD50(50, 0, 0);
    expect(doubtOf(grey, [Math.sqrt(3), 0, 0])).toBeCloseTo(Math.sqrt(3), 9);
    expect(trustIn(grey, [Math.sqrt(3), 0, 0])).toBeCloseTo(0.5, 9);
    expect(trustIn(grey, undefined)).toBe(1);
    // Chroma counts less the stronger a colour is (CIEDE2000's SC).
    expect(trustIn(labD50(50, 60, 0), [0, 2, 0])).toBeGreaterThan(trustIn(grey, [0, 2, 0]));
  });

  it('of Y is the derivative of L*', () => {
    for (const L of [3, 20, 60, 95]) {
      const step = (labToXyz(labD50(L + 0.01, 0, 0))[1] - labToXyz(labD50(L - 0.01, 0, 0))[1]) / 0.02;
      expect(relativeDoubtOfY(labD50(L, 0, 0), [0.5, 9, 9])).toBeCloseTo(
        (0.5 * step) / labToXyz(labD50(L, 0, 0))[1],
        3,
      );
    }
    expect(relativeDoubtOfY(labD50(50, 0, 0), undefined)).toBe(0);
  });
});

describe('grey steps in doubt', () => {
  const x = Array.from({ length: 24 }, (_, i) => 0.05 + 0.04 * i);
  const straight = x.map((value) => 0.02 + 0.9 * value);
  const random = seededRandom(8);
  const noisy = straight.map((value) => value + 0.006 * normal(random));

  it('come nearer to the true curve than they are themselves', () => {
    const smooth = smoothedSteps(
      x,
      noisy,
      x.map(() => 0.006),
    );
    const rms = (values: readonly number[]) =>
      Math.sqrt(values.reduce((sum, value, i) => sum + (value - straight[i]) ** 2, 0) / values.length);
    expect(rms(smooth)).toBeLessThan(0.6 * rms(noisy));
  });

  it('a step that is known stays, whatever its neighbours; so does a straight line', () => {
    const u = x.map((_, i) => (i === 11 ? 0 : 0.006));
    expect(smoothedSteps(x, noisy, u)[11]).toBe(noisy[11]);
    smoothedSteps(
      x,
      straight,
      x.map(() => 0.01),
    ).forEach((value, i) => expect(value).toBeCloseTo(straight[i], 9));
    expect(smoothedSteps([0.1, 0.9], [0.2, 0.8], [0.1, 0.1])).toEqual([0.2, 0.8]);
  });

  it('that fall back within their doubt are no fault; known ones that do are', () => {
    const signal = x.map((value) => value ** 2.2);
    [signal[10], signal[11]] = [signal[11], signal[10]];
    expect(fitGreyCurve(x, signal).pooled.filter(Boolean)).toHaveLength(2);
    expect(
      fitGreyCurve(
        x,
        signal,
        x.map(() => 0.2),
      ).pooled.filter(Boolean),
    ).toHaveLength(0);
  });
});
