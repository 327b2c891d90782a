/** Strokes that the pen drew back over themselves where no other stroke meets them: the skeleton has no knot there. */
import { expect, test } from 'vitest';
import { compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { measureStrokes } from '../../analysis/measure/ink.ts';
import { triple } from '../../analysis/triple.ts';
import { draw, type Drawing, flatPaper, type Line } from './drawInk.ts';
import { singleInkShading } from './singleInkTruth.ts';

const PAPER = [0.86, 0.85, 0.82] as const;
const ABSORPTION = [1.9, 1.2, 0.45] as const;
const calibration = compileCalibration(nominalCalibration);

function line(y: number, fromMm: number, toMm: number, dose: (t: number) => number = () => 0.5): Line {
  return { fromMm: [fromMm, y + 0.02 * fromMm], toMm: [toMm, y + 0.02 * toMm], widthMm: 0.8, dose };
}

function drawn(lines: readonly Line[], widthMm = 13, heightMm = 9): Drawing {
  // Two that cross tell what two layers read.
  const across = [7.1, 10.3].map((x): Line => ({ ...line(0, 0, 1), fromMm: [x, 0.8], toMm: [x + 0.4, 4.4] }));
  return {
    widthMm,
    heightMm,
    dpi: 300,
    paper: PAPER,
    absorption: ABSORPTION,
    lines: [...lines, ...across],
    blurMm: 0.06,
    noise: 0.003,
  };
}

/** Light minus dark, L*. */
function shading(lines: readonly Line[], widthMm?: number, heightMm?: number): number {
  const signal = draw(drawn(lines, widthMm, heightMm));
  const { quantities } = measureStrokes({
    id: 'gone-over',
    signal,
    calibration,
    paper: flatPaper(PAPER),
    bare: barePaperOf(PAPER, calibration),
    scannerBlurMm: 0.065,
    scanFlags: [],
  });
  return Number(quantities.find(({ quantity }) => quantity === 'shading.dL')?.value);
}

function lightness(dose: number): number {
  return xyzToLab(
    signalToXyz(
      triple((c) => PAPER[c] * Math.exp(-ABSORPTION[c] * dose)),
      calibration,
    ),
  )[0];
}

test('what is gone over in the midst of a line is no shading of the single ink', () => {
  const lines = [1.6, 3.2, 5.2, 6.8].flatMap((y) => [line(y, 1.2, 11.6), line(y, 3.1, 5.2)]);
  expect(shading(lines)).toBeLessThan(0.15);
});

test('ink that thickens along its line as far as two layers is shading', () => {
  const lines = [1.6, 3.2, 5.2, 6.8].map((y) => line(y, 1.2, 11.6, (t) => 1 - 0.6 * t));
  const truth = singleInkShading(drawn(lines), calibration);
  // As dense as two layers, some of it is taken for them where lines cross: 1.5 %.
  expect(Math.abs(shading(lines) - truth)).toBeLessThan(0.02 * truth);
});

/** Far from all single strokes, so that what lies near a letter's ink is no measure of it. */
const AWAY_MM = [21.5, 26] as const;
const ALONE = [1.6, 3.2].map((y) => line(y, 1.2, 11.6));
const FAR = [1.4, 3].map((y) => line(y, ...AWAY_MM));

test('letters gone over whole, beside nothing that was written once, are no shading of the single ink', () => {
  // Never quite the same way: along one side the first pass is seen alone.
  const again = FAR.map(({ fromMm, toMm, ...rest }) => ({
    ...rest,
    fromMm: [fromMm[0], fromMm[1] + 0.28] as const,
    toMm: [toMm[0], toMm[1] + 0.28] as const,
  }));
  expect(shading([...ALONE, ...FAR, ...again], 28, 5)).toBeLessThan(0.15);
});

test('letters of a wetter pen, as dense as two layers and written once, are shading', () => {
  const wetter = FAR.map((own) => ({ ...own, dose: () => 1 }));
  const truth = lightness(0.5) - lightness(1);
  expect(Math.abs(shading([...ALONE, ...wetter], 28, 5) - truth)).toBeLessThan(0.02 * truth);
});
