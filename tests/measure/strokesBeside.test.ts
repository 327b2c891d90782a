/** Strokes that lie so close beside one another that what is just beyond an edge is the other's ink. */
import { expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { measureStrokes } from '../../analysis/measure/ink.ts';
import { draw, flatPaper, type Line } from './drawInk.ts';

const PAPER = [0.85, 0.84, 0.8] as const;
const WIDTH_MM = 0.6;

/** Two lines with so much paper between them at their left and at their right ends. */
function pair(y: number, leftMm: number, rightMm: number): Line[] {
  const line = (from: number, to: number): Line => ({
    fromMm: [1.2, from],
    toMm: [10.8, to],
    widthMm: WIDTH_MM,
    dose: () => 1,
  });
  return [line(y, y + 0.2), line(y + WIDTH_MM + leftMm, y + 0.2 + WIDTH_MM + rightMm)];
}

test.each([
  [0.1, 0.1],
  [0.14, 0.29],
])('%f to %f mm of paper between two lines are no halo, and the lines no narrower', (leftMm, rightMm) => {
  const lines = [...pair(1.3, leftMm, rightMm), ...pair(4.3, leftMm, rightMm)];
  const calibration = compileCalibration(nominalCalibration);
  const { quantities } = measureStrokes({
    id: 'beside',
    signal: draw({
      widthMm: 12,
      heightMm: 7,
      dpi: 300,
      paper: PAPER,
      absorption: [1.5, 1.2, 0.4],
      lines,
      blurMm: 0.05,
    }),
    calibration,
    paper: flatPaper(PAPER),
    bare: barePaperOf(PAPER, calibration),
    scannerBlurMm: 0.06,
    scanFlags: [],
  });
  const of = (name: string) => quantities.find(({ quantity }) => quantity === name)?.value;
  expect(of('halo')).toBe(0);
  expect(of('lineWidth')).toBeCloseTo(WIDTH_MM, 2);
});
