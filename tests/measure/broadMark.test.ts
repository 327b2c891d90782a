/** A mark far broader than any pen's line, drawn where lines were promised. */
import { expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { measureStrokes } from '../../analysis/measure/ink.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { draw, flatPaper } from './drawInk.ts';

test('has a colour and no line width, and is not read across for ever', () => {
  const paper = [0.85, 0.84, 0.8] as const;
  const line = { fromMm: [12, 10], toMm: [16, 10], widthMm: 12, dose: () => 1 } as const;
  const signal = draw({ widthMm: 28, heightMm: 20, dpi: 150, paper, absorption: [1.5, 1.2, 0.4], lines: [line] });
  const calibration = compileCalibration(nominalCalibration);
  const { quantities } = measureStrokes({
    id: 'broad',
    signal,
    calibration,
    paper: flatPaper(paper),
    bare: barePaperOf(paper, calibration),
    scannerBlurMm: 0.05,
    scanFlags: [],
  });
  const of = (name: string) => quantities.find(({ quantity }) => quantity === name);
  expect(of('inkColour')?.value).not.toBeNull();
  expect(of('lineWidth')?.value).toBeNull();
  expect(of('lineWidth')?.flags.length).toBeGreaterThan(0);
});
