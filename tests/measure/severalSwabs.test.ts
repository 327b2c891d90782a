/** Two swabs in one box are seen; one swab that is graded, or has a dry gap, stays one. */
import { expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { measureSwab } from '../../analysis/measure/ink.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { draw, flatPaper, type Line } from './drawInk.ts';

const calibration = compileCalibration(nominalCalibration);
const PAPER = [0.86, 0.85, 0.82] as const;
const BLUE = [1.9, 1.2, 0.45] as const;
const GREEN = [1.5, 0.5, 1.3] as const;

function scan(lines: readonly Line[], absorption: readonly [number, number, number] = BLUE): LinearRaster {
  const page = { widthMm: 40, heightMm: 10, dpi: 150, paper: PAPER, blurMm: 0.05, noise: 0.004, fibres: 0.005 };
  return draw({ ...page, absorption, lines });
}

/** 5 mm broad. @param dose from its left to its right end */
function swab(fromMm: number, toMm: number, dose: readonly [number, number]): Line {
  const at = (t: number) => dose[0] + t * (dose[1] - dose[0]);
  return { fromMm: [fromMm, 5], toMm: [toMm, 5], widthMm: 5, dose: at };
}

function flagsOf(signal: LinearRaster) {
  const bare = barePaperOf(PAPER, calibration);
  const paper = flatPaper(PAPER, 0.006);
  const { quantities } = measureSwab({ id: 'r', signal, calibration, paper, bare, scannerBlurMm: 0.06, scanFlags: [] });
  return quantities.map(({ flags }) => flags.includes('several-swabs'));
}

test('two doses of an ink in one box are said of all that is told of it', () => {
  const told = flagsOf(scan([swab(4, 15, [0.4, 0.4]), swab(25, 36, [1.2, 1.2])]));
  expect(told.length).toBeGreaterThan(3);
  expect(told).not.toContain(false);
});

test('two inks in one box', () => {
  const [left, right] = [scan([swab(4, 15, [1, 1])]), scan([swab(25, 36, [1, 1])], GREEN)];
  const data = left.data.map((v, i) => (Math.floor(i / 3) % left.widthPx < left.widthPx / 2 ? v : right.data[i]));
  expect(flagsOf({ ...left, data })).not.toContain(false);
});

test.each([
  ['graded from a tenth to twice', [swab(4, 36, [0.1, 2])]],
  ['graded, with a dry gap of 1 mm across it', [swab(4, 17, [0.3, 1.05]), swab(23, 36, [1.1, 1.9])]],
  ['even, with a dry gap', [swab(4, 17, [1, 1]), swab(23, 36, [1.1, 1.1])]],
  ['with a bit that a dry brush left at its end', [swab(4, 29, [1, 1]), { ...swab(36, 36.1, [0.3, 0.3]), widthMm: 3 }]],
] as const)('one swab stays one: %s', (_, lines) => {
  expect(flagsOf(scan(lines))).not.toContain(true);
});
