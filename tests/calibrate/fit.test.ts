import { describe, expect, it } from 'vitest';
import { compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import { CalibrationError } from '../../analysis/calibrate/calibrationError.ts';
import type { Calibration, SurroundReading } from '../../analysis/calibrate/calibration.ts';
import { linearSignals } from '../../analysis/calibrate/channelCurves.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, labToXyz, xyzToLab, type LabD50 } from '../../analysis/colour/lab.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { madeUpTarget, readingOf, TONES, type MadeUp } from './madeUpTarget.ts';

/** Colours that no patch has; none darker than the darkest grey by much. */
const unseen = [labD50(20, 10, -25), labD50(48, 45, 20), labD50(66, -28, 30), labD50(82, 3, 40), labD50(90, -2, 3)];

function told(lab: LabD50, c: Calibration, target: MadeUp): LabD50 {
  const [signal] = linearSignals([{ device: target.device(labToXyz(lab)), light: [1, 1, 1] }], c.curves);
  return xyzToLab(signalToXyz(signal, compileCalibration(c)));
}

describe('a device that sees like the observer', () => {
  it.each(Object.keys(TONES))('%s: colours come back within 0.05 ΔE00', (name) => {
    const target = madeUpTarget({ tone: TONES[name] });
    const c = fitCalibration(target.readings, target.reference);
    expect(c.judgement).toBe('good');
    expect(c.model).toBe('linear');
    expect(c.leftOutMedian!).toBeLessThan(0.001);
    expect(c.greyMaxChroma!).toBeLessThan(0.001);
    for (const lab of unseen) expect(deltaE2000(told(lab, c, target), lab)).toBeLessThan(0.002);
  });

  it('greys with a tint of their own do no harm', () => {
    const target = madeUpTarget({ tint: [2.5, -4] });
    const c = fitCalibration(target.readings, target.reference);
    for (const lab of unseen) expect(deltaE2000(told(lab, c, target), lab)).toBeLessThan(0.002);
  });

  it('the order of the patches changes nothing', () => {
    const target = madeUpTarget({ spoil: ([r, g, b]) => [r + 0.04 * Math.sqrt(g * b), g, b] });
    const shuffled = target.readings.toSorted((a, b) => (a.id < b.id ? 1 : -1));
    const there = fitCalibration(target.readings, target.reference);
    const back = fitCalibration(shuffled, target.reference);
    expect(back.model).toBe(there.model);
    expect(back.leftOutMedian).toBeCloseTo(there.leftOutMedian!, 9);
    for (const lab of unseen) expect(deltaE2000(told(lab, back, target), told(lab, there, target))).toBeLessThan(1e-9);
  });

  it('a brighter lamp changes nothing', () => {
    const spoil = ([r, g, b]: readonly [number, number, number]) => [r, g, b + 0.05 * Math.sqrt(r * g)] as const;
    const dim = madeUpTarget({ exposure: 0.5, spoil });
    const bright = madeUpTarget({ exposure: 0.93, spoil });
    const a = fitCalibration(dim.readings, dim.reference);
    const b = fitCalibration(bright.readings, bright.reference);
    expect(b.model).toBe(a.model);
    for (const lab of unseen) expect(deltaE2000(told(lab, a, dim), told(lab, b, bright))).toBeLessThan(1e-6);
  });
});

/** A device that does not see like the observer, so that left-out errors are no noise. */
const crooked = () =>
  madeUpTarget({ spoil: ([r, g, b]) => [r + 0.08 * Math.abs(g - b), g, b + 0.06 * Math.abs(r - g)] });

describe('the report card', () => {
  it('a left-out error is not the fitted one, and is the larger on the whole', () => {
    const target = crooked();
    const c = fitCalibration(target.readings, target.reference);
    const sum = (of: 'dE00Fitted' | 'dE00LeftOut') => c.patches.reduce((total, patch) => total + patch[of], 0);
    expect(sum('dE00LeftOut')).toBeGreaterThan(1.02 * sum('dE00Fitted'));
    expect(c.patches.every((patch) => patch.dE00LeftOut !== patch.dE00Fitted)).toBe(true);
  });

  it('the quick left-out prediction equals that of a fit that never saw the patch', () => {
    const target = crooked();
    const c = fitCalibration(target.readings, target.reference, { ridges: [0.01] });
    for (const id of ['C55-3', 'C35-7', 'G6']) {
      const rest = fitCalibration(
        target.readings.filter((reading) => reading.id !== id),
        target.reference,
        { ridges: [0.01] },
      );
      expect(rest.model).toBe(c.model);
      const { device } = target.readings.find((reading) => reading.id === id)!;
      const [signal] = linearSignals([{ device, light: [1, 1, 1] }], rest.curves);
      const lab = xyzToLab(signalToXyz(signal, compileCalibration(rest)));
      const { leftOut } = c.patches.find((patch) => patch.id === id)!;
      // The ridge is counted in the patches' own weight, which one patch fewer changes a little.
      expect(deltaE2000(lab, leftOut)).toBeLessThan(0.003);
    }
  });

  it('a grey does not excuse itself: the curve that judges it never saw it', () => {
    const target = madeUpTarget();
    const patches = new Map(target.reference.patches);
    const [L, a, b] = patches.get('G6')!.lab;
    patches.set('G6', { lab: labD50(L + 3, a, b) });
    const grey = fitCalibration(target.readings, { patches }).patches.find((patch) => patch.id === 'G6')!;
    expect(grey.dE00Fitted).toBeLessThan(0.5);
    expect(grey.dE00LeftOut).toBeGreaterThan(2);
  });

  it('a mislabelled patch is the worst of all, is told, and has no say', () => {
    const target = crooked();
    const patches = new Map(target.reference.patches);
    patches.set('C55-3', target.reference.patches.get('C55-8')!);
    const c = fitCalibration(target.readings, { patches });
    const worst = c.patches.toSorted((a, b) => b.dE00LeftOut - a.dE00LeftOut)[0];
    expect(worst.id).toBe('C55-3');
    expect(worst.dE00LeftOut).toBeGreaterThan(15);
    expect(worst.flags).toEqual(['covered']);
    expect(c.cautions.map((caution) => caution.code)).toEqual(['covered']);
    expect(c.cautions[0].words).toMatch(
      /1 of 48 patches was left out: .*C55-3.* or their values in the reference are wrong/,
    );
    const rest = fitCalibration(
      target.readings.filter((reading) => reading.id !== 'C55-3'),
      target.reference,
    );
    expect(c.leftOutMax).toBe(rest.leftOutMax);
    expect(c.matrix).toEqual(rest.matrix);
  });

  it('paper over a dark patch and two pale ones: the pale ones go too, though they depart by little', () => {
    const target = madeUpTarget();
    const paper = target.device(labToXyz(labD50(90, 0, 0)));
    const under = ['C35-0', 'G1', 'G3'];
    const readings = target.readings.map((reading) =>
      under.includes(reading.id) ? { ...reading, device: paper } : reading,
    );
    const c = fitCalibration(readings, target.reference);
    const told = c.patches.filter((patch) => patch.flags.includes('covered')).map((patch) => patch.id);
    expect(told.toSorted()).toEqual(under);
    expect(c.leftOutMax!).toBeLessThan(0.5);
  });

  it('white patches that are alike do not go with one whose value is misprinted', () => {
    const target = madeUpTarget();
    const white = target.reference.patches.get('G1')!;
    const copies = ['W1', 'W2', 'W3'];
    const device = target.device(labToXyz(white.lab));
    const readings = [...target.readings, ...copies.map((id) => readingOf(id, false, device))];
    const patches = new Map([...target.reference.patches, ...copies.map((id) => [id, white] as const)]);
    patches.set('W2', { lab: labD50(50, 0, 0) });
    const c = fitCalibration(readings, { patches });
    const told = c.patches.filter((patch) => patch.flags.includes('covered')).map((patch) => patch.id);
    expect(told).toEqual(['W2']);
  });

  it('a clipped patch is refused, flagged, and has no say', () => {
    const target = madeUpTarget();
    const readings = target.readings.map((reading) =>
      reading.id === 'C75-2' ? { ...reading, device: [1, 1, 1] as const, clippedShare: 0.4 } : reading,
    );
    const c = fitCalibration(readings, target.reference);
    expect(c.patches.find((patch) => patch.id === 'C75-2')!.flags).toEqual(['clipped']);
    expect(c.leftOutMax!).toBeLessThan(0.001);
    expect(c.signals).toHaveLength(readings.length - 1);
    const kept = fitCalibration(readings, target.reference, { clippedLimit: 0.5 });
    expect(kept.patches.find((patch) => patch.id === 'C75-2')!.flags).toEqual(['covered']);
  });

  it('the words follow the left-out median', () => {
    const target = crooked();
    const median = fitCalibration(target.readings, target.reference).leftOutMedian!;
    const judged = (limits: readonly [number, number]) =>
      fitCalibration(target.readings, target.reference, { judgementLimits: limits }).judgement;
    expect(judged([median + 0.01, 9])).toBe('good');
    expect(judged([median / 2, median + 0.01])).toBe('usable');
    expect(judged([median / 3, median / 2])).toBe('poor');
  });

  it('lists every candidate, the best first, and takes the simplest that is nearly as good', () => {
    const target = crooked();
    const c = fitCalibration(target.readings, target.reference, { ridges: [0.001, 0.1] });
    expect(c.candidates).toHaveLength(7);
    const means = c.candidates.map((candidate) => candidate.leftOutMean);
    expect(means).toEqual(means.toSorted((a, b) => a - b));
    const limit = c.candidates[0].leftOutMean + c.candidates[0].standardError;
    const order = ['linear', 'affine', 'rootPolynomial2', 'rootPolynomial3'];
    const simplest = c.candidates
      .filter((candidate) => candidate.leftOutMean <= limit)
      .toSorted((a, b) => order.indexOf(a.model) - order.indexOf(b.model) || b.ridge - a.ridge)[0];
    expect([c.model, c.ridge]).toEqual([simplest.model, simplest.ridge]);
  });
});

describe('targets that cannot serve are refused in words', () => {
  const failure = (act: () => unknown): CalibrationError => {
    try {
      act();
    } catch (error) {
      if (error instanceof CalibrationError) return error;
      throw error;
    }
    throw new Error('nothing was refused');
  };

  it('patches that the reference does not know', () => {
    const { readings, reference } = madeUpTarget();
    const error = failure(() => fitCalibration([...readings, readingOf('X9', false, [0.5, 0.5, 0.5])], reference));
    expect(error.code).toBe('patches-unknown');
    expect(error.message).toMatch(/no values for 1 of 49 patches of the target \(X9\)/);
  });

  it('too few patches, and what the clipped ones have to do with it', () => {
    const { readings, reference } = madeUpTarget();
    const few = readings.slice(0, 11);
    expect(failure(() => fitCalibration(few, reference)).code).toBe('too-few-patches');
    const clipped = readings.slice(0, 14).map((reading, i) => ({ ...reading, clippedShare: i < 4 ? 0.1 : 0 }));
    expect(failure(() => fitCalibration(clipped, reference)).message).toMatch(/4 of 14 were refused as clipped/);
    expect(fitCalibration(few, reference, { fewestPatches: 11 }).judgement).toBe('good');
  });

  it('a reference in another order, and a negative', () => {
    const target = madeUpTarget();
    const ids = [...target.reference.patches.keys()];
    const values = [...target.reference.patches.values()];
    const turned = new Map(ids.map((id, i) => [id, values[values.length - 1 - i]]));
    const error = failure(() => fitCalibration(target.readings, { patches: turned }));
    expect(error.code).toBe('other-target');
    expect(error.message).toMatch(/rank correlation -?0\.\d\d.* belongs to another target, the four points/);
    const negative = target.readings.map((reading) => {
      const [r, g, b] = reading.device.map((value) => 1 - value);
      return { ...reading, device: [r, g, b] as const };
    });
    const other = failure(() => fitCalibration(negative, target.reference));
    // A code of its own: neither other files nor other points mend it.
    expect(other.code).toBe('negative');
    expect(other.message).toMatch(/the scan is a negative/);
  });

  it('more patches covered than may be left out, however well the rest agrees', () => {
    const target = madeUpTarget();
    const under = (count: number) =>
      target.readings.map((reading, i) =>
        i % 4 === 0 && i < 4 * count ? { ...reading, device: [0.75, 0.2, 0.15] as const } : reading,
      );
    const error = failure(() => fitCalibration(under(10), target.reference));
    expect(error.code).toBe('covered');
    expect(error.message).toMatch(/\d+ of 48 patches are covered .* at most 7 can be left out/);
    expect(fitCalibration(under(5), target.reference).leftOutMax!).toBeLessThan(0.001);
    expect(failure(() => fitCalibration(under(5), target.reference, { coveredLimit: 0.05 })).code).toBe('covered');
  });

  it('a place of the scan that is no target', () => {
    const { readings, reference } = madeUpTarget();
    const blank = readings.map((reading, i) => ({ ...reading, device: [0.9, 0.9, 0.88 + 0.0004 * i] as const }));
    const error = failure(() => fitCalibration(blank, reference));
    expect(error.code).toBe('no-range');
    expect(error.message).toMatch(/differ by only 0\.0 % .* four points/);
  });

  it('too few greys; but greys that the layout does not name are taken by their reference', () => {
    const { readings, reference } = madeUpTarget();
    const unnamed = readings.map((reading) => ({ ...reading, grey: false }));
    expect(fitCalibration(unnamed, reference).judgement).toBe('good');
    const noGreys = unnamed.filter(({ id }) => !id.startsWith('G') || id === 'G1' || id === 'G9');
    const error = failure(() => fitCalibration(noGreys, reference));
    expect(error.code).toBe('too-few-greys');
    expect(error.message).toMatch(/shows 2 usable grey steps/);
    expect(fitCalibration(readings, reference, { fewestGreys: 12 }).judgement).toBe('good');
    expect(failure(() => fitCalibration(readings, reference, { fewestGreys: 13 })).code).toBe('too-few-greys');
  });
});

describe('uneven light', () => {
  const fall = (x: number, y: number, c: number) => 1 - 0.03 * (x / 100) ** 2 + 0.01 * (y / 50) + 0.004 * c * (x / 100);
  const tone = TONES['gamma 2.4'];
  const uneven = () => {
    const target = madeUpTarget({ tone });
    const place = (i: number) => [-60 + 17 * (i % 8), -40 + 14 * Math.floor(i / 8)] as const;
    const lit = (device: readonly [number, number, number], x: number, y: number) => {
      const [r, g, b] = device.map((d, c) => tone(d ** 2.4 * fall(x, y, c)));
      return [r, g, b] as const;
    };
    const readings = target.readings.map((reading, i) => {
      const [x, y] = place(i);
      return { ...reading, device: lit(reading.device, x, y), centreMm: [x, y] as const };
    });
    const card = target.device(labToXyz(labD50(95.5, 0.2, 1)));
    const random = seededRandom(3);
    const surround = Array.from({ length: 60 }, (_, i): SurroundReading => {
      const [x, y] = [-70 + 15 * (i % 10), -45 + 18 * Math.floor(i / 10)];
      const [r, g, b] = lit(card, x, y).map((d) => d * (1 + 0.0006 * (random() - 0.5)));
      // Two of them lie on a stain.
      const device = i === 7 || i === 33 ? ([0.7 * r, 0.6 * g, 0.5 * b] as const) : ([r, g, b] as const);
      return { device, pixels: 400, placeMm: [x, y] };
    });
    return { target, readings, surround };
  };

  it('is taken out by the bare card, stains or not', () => {
    const { target, readings, surround } = uneven();
    const plain = fitCalibration(readings, target.reference);
    const even = fitCalibration(readings, target.reference, { surround });
    expect(plain.flatField).toBeNull();
    expect(even.leftOutMedian!).toBeLessThan(0.015);
    expect(plain.leftOutMedian!).toBeGreaterThan(10 * even.leftOutMedian!);
    expect(even.flatField!.residual).toBeLessThan(0.001);
    for (const lab of unseen) expect(deltaE2000(told(lab, even, target), lab)).toBeLessThan(0.2);
  });

  it('seen along two edges only it is told as a slope: a bowl and a level look alike there', () => {
    const { target, readings, surround } = uneven();
    const edges = surround.filter((_, i) => i % 10 === 0 || i % 10 === 9);
    const { flatField } = fitCalibration(readings, target.reference, { surround: edges });
    for (const row of flatField!.coefficients) {
      expect(row.slice(3)).toEqual([0, 0, 0]);
      expect(row[0]).toBeCloseTo(1, 2);
    }
  });

  it('is left alone when the bare card says too little, or is no even card', () => {
    const { target, readings, surround } = uneven();
    expect(fitCalibration(readings, target.reference, { surround: surround.slice(0, 11) }).flatField).toBeNull();
    expect(fitCalibration(readings, target.reference, { surround: surround.slice(0, 10) }).flatField).toBeNull();
    const row = surround.map((reading) => ({ ...reading, placeMm: [reading.placeMm[0], 3] as const }));
    expect(fitCalibration(readings, target.reference, { surround: row }).flatField).toBeNull();
    const random = seededRandom(4);
    const printed = surround.map((reading) => {
      const [r, g, b] = reading.device.map((d) => d * (0.8 + 0.2 * random()));
      return { ...reading, device: [r, g, b] as const };
    });
    expect(fitCalibration(readings, target.reference, { surround: printed }).flatField).toBeNull();
  });

  it('is not told by a black frame, which shows the stray light of the patches beside it', () => {
    const { target, readings, surround } = uneven();
    // 3 % of the light, and half as much again towards one side.
    const frame = surround.map((reading) => {
      const stray = 0.03 * (1 + 0.5 * Math.sin(reading.placeMm[0] / 25));
      const [r, g, b] = reading.device.map((d) => d * stray ** (1 / 2.4));
      return { ...reading, device: [r, g, b] as const };
    });
    const alone = fitCalibration(readings, target.reference);
    const framed = fitCalibration(readings, target.reference, { surround: frame });
    expect(framed.flatField).toBeNull();
    expect(framed.cautions).toEqual(alone.cautions);
    expect(framed.judgement).toBe(alone.judgement);
  });
});
