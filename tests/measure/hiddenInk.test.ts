/** Pale ink that lightness does not order: fibres and noise change it more than ink does. Drawn by Beer and Lambert, so that the ends are known. */
import { describe, expect, test } from 'vitest';
import { compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { ownEnds } from '../../analysis/measure/film/ownEnds.ts';
import { measureStrokes, measureSwab } from '../../analysis/measure/ink.ts';
import { triple } from '../../analysis/triple.ts';
import { draw, type Drawing, flatPaper, type Line } from './drawInk.ts';

const calibration = compileCalibration(nominalCalibration);
const YELLOW = [0.01, 0.04, 1.1] as const;
const DOSES = [0.06, 0.14] as const;

function drawing(absorption: Drawing['absorption'], lines: readonly Line[], seed: number): Drawing {
  const paper = [0.42, 0.42, 0.43] as const;
  return {
    widthMm: 40,
    heightMm: 15,
    dpi: 300,
    paper,
    absorption,
    lines,
    noise: 0.006,
    fibres: 0.006,
    blurMm: 0.03,
    seed,
  };
}

/** Lines that get denser along their way, round ends and all. */
function ramps(widthMm: number, [from, to]: readonly [number, number], ys: readonly number[]): Line[] {
  return ys.map((y) => ({ fromMm: [4, y], toMm: [36, y], widthMm, dose: (t) => from + t * (to - from) }));
}

function inputOf(d: Drawing) {
  const paper = flatPaper(d.paper, 0.006);
  const bare = barePaperOf(d.paper, calibration);
  return { id: 'r', signal: draw(d), calibration, paper, bare, scannerBlurMm: 0.04, scanFlags: [] };
}

/** Between a tenth and nine tenths of what counts, which is so broad; round ends have the dose of the way's end. */
function truthOf(d: Drawing, [from, to]: readonly [number, number], countedMm: number) {
  const cap = (Math.PI * countedMm ** 2) / 8;
  const body = 32 * countedMm;
  const first = Math.max(0, (0.1 * (body + 2 * cap) - cap) / body);
  const at = (t: number) => triple((c) => d.paper[c] * Math.exp(-d.absorption[c] * (from + t * (to - from))));
  const lab = (t: number) => xyzToLab(signalToXyz(at(t), calibration));
  const [thin, thick] = [first, 1 - first];
  return {
    dE00: deltaE2000(lab(thin), lab(thick)),
    dL: lab(thin)[0] - lab(thick)[0],
    blue: Math.log(at(thin)[2] / at(thick)[2]),
  };
}

describe.each(['strokes', 'swab'] as const)('yellow ink on grey paper: %s', (kind) => {
  const lines = kind === 'strokes' ? ramps(1, DOSES, [3, 7, 11]) : ramps(8, DOSES, [7]);
  const name = kind === 'strokes' ? 'shading' : 'swabVariation';
  test.each([1, 2])('shades as it was drawn, and says how surely; sheet %d', (seed) => {
    const d = drawing(YELLOW, lines, seed);
    const { quantities, doses } = (kind === 'strokes' ? measureStrokes : measureSwab)(inputOf(d));
    const truth = truthOf(d, DOSES, kind === 'strokes' ? 0.85 : 7);
    for (const [quantity, true_, most] of [
      [name, truth.dE00, 0.12],
      [`${name}.dL`, truth.dL, 0.1],
    ] as const) {
      const { value, u } = quantities.find((q) => q.quantity === quantity)!;
      expect(Math.abs(Number(value) - true_)).toBeLessThan(most);
      expect(Math.abs(Number(value) - true_)).toBeLessThan(2 * Number(u));
    }
    // What the film is asked for.
    expect(Math.abs(Math.log(doses!.light[2] / doses!.dark[2]) / truth.blue - 1)).toBeLessThan(0.06);
  });
});

test('where lightness tells them, ends are those of lightness', () => {
  const d = drawing([1.9, 1.2, 0.45], ramps(1, [0.5, 1], [3, 7, 11]), 1);
  const { doses } = measureStrokes(inputOf(d));
  const { dE00 } = truthOf(d, [0.5, 1], 0.85);
  const lab = (signal: readonly [number, number, number]) => xyzToLab(signalToXyz(signal, calibration));
  expect(Math.abs(deltaE2000(lab(doses!.light), lab(doses!.dark)) - dE00)).toBeLessThan(0.02 * dE00);
});

describe('ends as the ink alone makes them', () => {
  const dark = [0.3, 0.2, 0.1] as const;
  const light = [0.36, 0.22, 0.15] as const;
  const between = ({ dark: d, light: l }: { dark: readonly number[]; light: readonly number[] }) =>
    l.map((v, c) => Math.log(v / d[c]));

  test('are as found where paper made nothing of them', () => {
    const own = ownEnds({ dark, light }, { ownShare: 1, ownStep: 1, paperStep: 0 }, null);
    own.dark.forEach((v, c) => expect(v).toBeCloseTo(dark[c], 12));
    own.light.forEach((v, c) => expect(v).toBeCloseTo(light[c], 12));
  });

  test('lie about the same middle, without paper’s step, which all channels share', () => {
    const own = ownEnds({ dark, light }, { ownShare: 0.8, ownStep: 1, paperStep: 0.05 }, null);
    between(own).forEach((v, c) => expect(v).toBeCloseTo((Math.log(light[c] / dark[c]) - 0.05) / 0.8, 12));
    own.dark.forEach((v, c) => expect(v * own.light[c]).toBeCloseTo(dark[c] * light[c], 12));
  });

  test('of hidden ink go the ink’s way, the more the less of the step was ink', () => {
    const ways = { paperStep: [1, 1, 1], inkStep: [0, 0, 1] } as const;
    const own = ownEnds({ dark, light }, { ownShare: 0, ownStep: 0.1, paperStep: 0.2 }, ways);
    between(own).forEach((v, c) => expect(v).toBeCloseTo([0, 0, 0.1][c], 12));
  });
});
