/** What a fit leaves in doubt of its colours and of figures made from two of them, on unknowns whose covariance is known. */
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { chroma, hueDeg, labD50, type LabD50, labToXyz, xyzToLabWhite } from '../../analysis/colour/lab.ts';
import { straightened } from '../../analysis/film/bend.ts';
import { doseCurve, nearestDose } from '../../analysis/film/doseCurve.ts';
import {
  differenceDoubt,
  doubtOf,
  type FilmColour,
  sharesOf,
  spread,
  wideningOfColours,
} from '../../analysis/film/filmColour.ts';
import { type FilmFit, fitFilm } from '../../analysis/film/fitFilm.ts';
import { WAVELENGTHS_NM } from '../../analysis/film/grid.ts';
import { judgeFit } from '../../analysis/film/judge.ts';
import { longSideNm } from '../../analysis/film/narrow.ts';
import { signalNoise } from '../../analysis/film/signalNoise.ts';
import {
  againstPaper,
  doubtOfChroma,
  doubtOfDeltaE,
  doubtOfHue,
  doubtOfLightness,
} from '../../analysis/measure/film/filmDoubts.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { filmWorld } from '../../study/filmWorlds.ts';
import { drawInk, drawPaper, inkOnPaper } from '../../study/simulatedColours.ts';

type Triple = readonly [number, number, number];

const bell = (at: number, sd: number, height = 1): number[] =>
  WAVELENGTHS_NM.map((nm) => 0.01 + height * Math.exp(-(((nm - at) / sd) ** 2) / 2));

const world = filmWorld(211);
const ink = drawInk(bell(600, 42), seededRandom(3));
const paper = drawPaper('white', seededRandom(5));
const { spectra: sensors } = world.sensors;
const straight = (r: ArrayLike<number>) => straightened(world.signal(Float64Array.from(r)), sensors.bends);
const fitted = fitFilm(
  {
    papers: [{ signal: straight(paper) }],
    regions: [0.3, 0.8, 1.4, 2].map((dose) => ({
      id: `${dose}`,
      paper: 0,
      signal: straight(inkOnPaper(ink, dose, paper)),
    })),
  },
  sensors,
);
const size = fitted.state.at.count;
/** As if each unknown had a standard deviation of 1 by itself, and one kind of ink were believed. */
const fit: FilmFit = {
  ...fitted,
  others: [],
  factor: Float64Array.from({ length: size * size }, (_, i) => (i % (size + 1) === 0 ? 1 : 0)),
};

/** @param by of the first unknowns: what one standard deviation of each does to L*, a*, b* */
function colour(lab: LabD50, by: readonly Triple[]): FilmColour {
  const slopes = new Float64Array(3 * size);
  by.forEach((step, j) => step.forEach((v, a) => (slopes[a * size + j] = v)));
  return { lab, u: [0, 0, 0], slopes };
}

function moved([L, a, b]: LabD50, by: Triple, times: number): LabD50 {
  return labD50(L + times * by[0], a + times * by[1], b + times * by[2]);
}

describe('how much wider than the covariance says', () => {
  const wide = (of: Partial<FilmFit>) => wideningOfColours({ ...fit, ...of });
  /** So many sheets with so many doses each. */
  const regions = (sheets: number, doses: number): FilmFit['regions'] =>
    Array.from({ length: sheets }, (_, p) => [
      { paper: p, dose: null },
      ...Array.from({ length: doses }, (_, d) => ({ paper: p, dose: p * doses + d })),
    ]).flat();
  const byLab: FilmFit['sensors'] = { ...sensors, taughtBy: 'lab' };

  // So chosen that ± 2u holds the truth in about 95 % (study of films, seeds 100–139 and 500–730).
  test.each([
    ['spectra, one sheet', {}, 1, 7, 0.9],
    ['spectra, more sheets', {}, 2, 7, 0.95],
    ['Lab alone, one sheet', { sensors: byLab }, 1, 7, 1.3],
    ['Lab alone, more sheets', { sensors: byLab }, 3, 7, 1.5],
    ['ten doses: by the root of ten over seven', {}, 1, 10, 0.9 * Math.sqrt(10 / 7)],
    ['many doses: by √2 at most', {}, 2, 40, 0.95 * Math.SQRT2],
  ])('%s', (_, of, sheets, doses, factor) => {
    expect(wide({ ...of, regions: regions(sheets, doses) })).toBeCloseTo(factor, 9);
  });

  test('twice for a band that is steep towards long waves', () => {
    const k = Float64Array.from(bell(540, 10));
    const state = { ...fit.state, ink: { ...fit.state.ink, k } };
    expect(wide({ state, regions: regions(1, 4) })).toBeCloseTo(1.8, 9);
  });

  test('bands below three tenths of the strongest are not asked how steep they are', () => {
    const with540 = (height: number) => bell(440, 40).map((v, l) => v + bell(560, 9, height)[l]);
    expect(longSideNm(with540(0.2))).toBeGreaterThan(30);
    expect(longSideNm(with540(0.5))).toBeLessThan(15);
  });
});

describe('u', () => {
  const wider = wideningOfColours(fit);

  test('holds the unknowns in quadrature and what is its own; 0.15 at least', () => {
    const { slopes } = colour(labD50(50, 10, -20), [
      [0.3, 0.6, 0.02],
      [0.4, 0.8, 0.02],
    ]);
    expect(doubtOf(fit, slopes, [0, 0, 0])).toEqual([
      expect.closeTo(wider * 0.5, 9),
      expect.closeTo(wider, 9),
      expect.closeTo(wider * 0.15, 9),
    ]);
    expect(doubtOf(fit, slopes, [1.44, 0, 0])[0]).toBeCloseTo(wider * 1.3, 9);
  });

  test('unknowns that the signals tell better count for less: the inverse of the curvature', () => {
    const row = Float64Array.from({ length: size }, (_, j) => (j < 2 ? 1 : 0));
    // H of the first two is [[4, 2], [2, 2]], its inverse [[0.5, −0.5], [−0.5, 1]].
    const factor = fit.factor.slice();
    factor[0] = 2;
    factor[size] = 1;
    expect(spread({ ...fit, factor }, row)).toBeCloseTo(0.5, 9);
    expect(spread(fit, row)).toBeCloseTo(2, 9);
  });

  test('what lies between kinds of ink is one unknown more each, beyond the fit’s own', () => {
    const row = new Float64Array(size + 2);
    row[size] = 0.3;
    row[size + 1] = 0.4;
    expect(spread(fit, row)).toBeCloseTo(0.25, 9);
    expect(sharesOf({ ...fit, others: [{ share: 0.3, state: fit.state }] })).toEqual([expect.closeTo(0.7, 9), 0.3]);
  });
});

describe('figures of two colours', () => {
  const a = colour(labD50(62, 12, -30), [
    [0.8, -0.3, 0.2],
    [0, 0.5, 0.9],
  ]);
  const b = colour(labD50(35, 20, -44), [
    [0.2, 0.4, -0.6],
    [0.1, 0.7, 0.3],
  ]);
  const steps = [0, 1].map((j) =>
    [a, b].map(({ slopes }): Triple => [slopes[j], slopes[size + j], slopes[2 * size + j]]),
  );
  /** By moving each unknown a little both ways. */
  const byHand = (figure: (a: LabD50, b: LabD50) => number) =>
    Math.hypot(
      ...steps.map(([ofA, ofB]) => {
        const at = (t: number) => figure(moved(a.lab, ofA, t), moved(b.lab, ofB, t));
        return (at(1e-3) - at(-1e-3)) / 2e-3;
      }),
    );
  /** On one sheet of a scan. */
  const wider = 1.2 * wideningOfColours(fit);

  test.each([
    ['L*', doubtOfLightness, (p: LabD50, q: LabD50) => q[0] - p[0]],
    ['C*', doubtOfChroma, (p: LabD50, q: LabD50) => chroma(q) - chroma(p)],
    ['hue', doubtOfHue, (p: LabD50, q: LabD50) => hueDeg(q) - hueDeg(p)],
    ['ΔE00', doubtOfDeltaE, deltaE2000],
  ] as const)('%s: what both unknowns do to it, a fifth more on one sheet', (_, doubt, figure) => {
    expect(doubt(fit, a, b) / (wider * byHand(figure))).toBeCloseTo(1, 3);
  });

  test('what moves both alike cancels, but for the least', () => {
    expect(doubtOfLightness(fit, a, a)).toBeCloseTo(wider * 0.15, 9);
    expect(differenceDoubt(fit, a, a, [1, 0, 0, 1, 0, 0])).toBeCloseTo(wider * 2 * 0.8, 9);
  });

  test('two colours that are all but one have a doubt though their ΔE00 has no direction', () => {
    const near = { ...b, lab: labD50(62, 12, -30.1) };
    // Lengths of the unknowns’ steps apart, in ΔE00 at that place.
    const apart = steps.map(([ofA, ofB]) => {
      const step: Triple = [ofB[0] - ofA[0], ofB[1] - ofA[1], ofB[2] - ofA[2]];
      return [0, 1, 2].map((k) => {
        const along: Triple = [k === 0 ? step[0] : 0, k === 1 ? step[1] : 0, k === 2 ? step[2] : 0];
        return deltaE2000(a.lab, moved(a.lab, along, 0.02)) / 0.02;
      });
    });
    const axis = (k: number) => Math.hypot(apart[0][k], apart[1][k]);
    expect(doubtOfDeltaE(fit, a, near) / (wider * Math.hypot(axis(0), axis(1), axis(2)))).toBeCloseTo(1, 1);
  });

  test('an ink against its own paper moves with both', () => {
    const sheet = colour(labD50(93, 1, 6), [
      [0.5, 0.2, -0.3],
      [0.1, 0.1, 0.6],
    ]);
    const against = (inkLab: LabD50, white: LabD50) => xyzToLabWhite(labToXyz(inkLab), labToXyz(white));
    const found = againstPaper(a, sheet);
    expect([...found.lab]).toEqual([...against(a.lab, sheet.lab)].map((v) => expect.closeTo(v, 9)));
    for (const j of [0, 1]) {
      const step = (of: FilmColour): Triple => [of.slopes[j], of.slopes[size + j], of.slopes[2 * size + j]];
      const at = (t: number) => against(moved(a.lab, step(a), t), moved(sheet.lab, step(sheet), t));
      [0, 1, 2].forEach((k) => {
        expect(found.slopes[k * size + j]).toBeCloseTo((at(1e-3)[k] - at(-1e-3)[k]) / 2e-3, 3);
      });
    }
  });
});

describe('judgement', () => {
  /** Of so many times what sound inks show: 0.055 a signal. */
  const judged = (times: number) => judgeFit({ ...fit, chiSquare: times * 0.055 * fit.signals });

  test.each([
    [5.4, 'fits'],
    [5.6, 'doubtful'],
    [17.9, 'doubtful'],
    [18.1, 'does not fit'],
  ])('chi-square of %f times what sound inks show: %s', (times, verdict) => {
    expect(judged(times)).toMatchObject({ verdict, ratio: expect.closeTo(times, 9) });
  });

  test('a region is off from 1.4 standard deviations on, root mean square; by all three channels paler or darker, else of another hue', () => {
    const off = (misfits: readonly Triple[]) =>
      judgeFit({
        ...fit,
        chiSquare: 0,
        misfits: fit.regions.map((_, i) => misfits[i] ?? [0, 0, 0]),
        regionChiSquare: fit.regions.map((_, i) => (misfits[i] ?? [0, 0, 0]).reduce((sum, v) => sum + v * v, 0)),
      }).misfits;
    const around = (v: number): Triple => [v, v, v];
    expect(off([around(1.38)])).toEqual([]);
    // First the bare paper, then doses; the worst first.
    expect(off([around(1.42), around(-2), [3, 3, -0.1]]).map(({ region, how }) => [region, how])).toEqual([
      [1, 'another hue'],
      [0, 'darker'],
      [-1, 'paler'],
    ]);
  });
});

describe('a point of the curve', () => {
  /** @param noise share of the whole that signals are trusted to @param at dose */
  const point = (noise: number, at = 1) => doseCurve({ ...fitted, noise }, 0, [at])[0];

  test('is in doubt by its dose as well, as well as its signal tells that: not at all, by the prior’s 1.2 of its logarithm', () => {
    const [untold, told] = [point(1e3), point(1e-3)];
    const wider = wideningOfColours(fitted);
    const step = 0.01;
    [0, 1, 2].forEach((k) => {
      const byDose = (1.2 * (point(1, Math.exp(step)).lab[k] - point(1, Math.exp(-step)).lab[k])) / (2 * step);
      const apart = untold.u[k] ** 2 - told.u[k] ** 2;
      expect(Math.sqrt(Math.max(0, apart)) / Math.abs(wider * byDose)).toBeGreaterThan(0.8);
      expect(Math.sqrt(Math.max(0, apart)) / Math.abs(wider * byDose)).toBeLessThan(1.2);
    });
  });
});

describe('the nearest dose', () => {
  const at = (dose: number): Triple => [0.8 - 0.1 * dose, 0.7 - 0.05 * dose, 0.6];
  const curve = [1, 2, 4].map((dose) => ({ ...colour(labD50(80 - 10 * dose, 0, 0), []), dose, signal: at(dose) }));

  test('lies on the piece between two points, doses by their ratio and colours by the way', () => {
    const near = nearestDose(curve, at(3));
    expect(near).toMatchObject({ from: 1, share: expect.closeTo(0.5, 9), away: expect.closeTo(0, 9), beyond: null });
    expect(near.dose).toBeCloseTo(2 * Math.SQRT2, 9);
    expect(near.lab[0]).toBeCloseTo(50, 9);
  });

  test('is as far away as signals are trusted, root mean square over the channels', () => {
    const [r, g, b] = at(3);
    const off = b + 2 * signalNoise(b);
    // The noise is that of the signal that is looked for.
    expect(nearestDose(curve, [r, g, off]).away).toBeCloseTo((off - b) / signalNoise(off) / Math.sqrt(3), 9);
    expect(signalNoise(0.5)).toBeCloseTo(Math.hypot(0.002, 0.003), 9);
    expect(signalNoise(0.002)).toBe(0.02);
  });
});
