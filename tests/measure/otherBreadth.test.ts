/** A swab in the box of a writing sample, and lines in that of a swab: the figures are those of the sample alone, and say that something was left out. */
import { expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { type InkMeasure, measureStrokes, measureSwab } from '../../analysis/measure/ink.ts';
import type { RegionInput } from '../../analysis/measure/region.ts';
import type { QuantityName } from '../../analysis/quantity.ts';
import { draw, flatPaper, type Line } from './drawInk.ts';

const calibration = compileCalibration(nominalCalibration);
const PAPER = [0.86, 0.85, 0.82] as const;

/** Lines of 0.8 mm whose dose rises from 0.8 to 1.2. */
const LINES: readonly Line[] = [2, 4.5, 7].map((y) => ({
  fromMm: [2, y],
  toMm: [22, y],
  widthMm: 0.8,
  dose: (t) => 0.8 + 0.4 * t,
}));
/** Thinner than the lines at one end, much thicker at the other. */
const SWAB: Line = { fromMm: [6, 13.5], toMm: [18, 13.5], widthMm: 6, dose: (t) => 0.4 + 1.6 * t };

function input(lines: readonly Line[], dpi: number): RegionInput {
  const blurMm = 0.05;
  return {
    id: 'r',
    signal: draw({
      widthMm: 24,
      heightMm: 19,
      dpi,
      paper: PAPER,
      absorption: [1.9, 1.2, 0.45],
      lines,
      blurMm,
      noise: 0.004,
    }),
    calibration,
    paper: flatPaper(PAPER),
    bare: barePaperOf(PAPER, calibration),
    scannerBlurMm: Math.hypot(blurMm, 25.4 / dpi / Math.sqrt(12)),
    scanFlags: [],
  };
}

function value({ quantities }: InkMeasure, name: QuantityName): number {
  const found = quantities.find((q) => q.quantity === name)?.value;
  if (typeof found !== 'number') throw new Error(`${name} has no number`);
  return found;
}

test.each([300, 600])('a swab among lines at %i dpi', (dpi) => {
  const alone = measureStrokes(input(LINES, dpi));
  const together = measureStrokes(input([...LINES, SWAB], dpi));
  // Counted in, the swab would make it 21.
  for (const name of ['shading', 'shading.dL', 'inkDensity'] as const) {
    expect(Math.abs(value(together, name) - value(alone, name))).toBeLessThan(0.15);
  }
  expect(Math.abs(value(together, 'lineWidth') - value(alone, 'lineWidth'))).toBeLessThan(0.01);
  expect(together.quantities[0].flags).toContain('other-marks-left-out');
  expect(alone.quantities[0].flags).not.toContain('other-marks-left-out');
});

test('lines beside a swab', () => {
  // As broad as the deepest brush marks that count, so that nothing but their breadth against the swab's tells them.
  const broad = LINES.map((line): Line => ({ ...line, widthMm: 1.3, dose: () => 3 }));
  const alone = measureSwab(input([SWAB], 300));
  const together = measureSwab(input([...broad, SWAB], 300));
  expect(Math.abs(value(together, 'swabVariation.dL') - value(alone, 'swabVariation.dL'))).toBeLessThan(0.15);
  expect(Math.abs(value(together, 'inkDensity') - value(alone, 'inkDensity'))).toBeLessThan(0.01);
  expect(together.quantities[0].flags).toContain('other-marks-left-out');
});

test.each([0.6, 0.8, 1.1])('lines of %f mm that are called a swab are none', (widthMm) => {
  // What crosses them is all that lies deep enough: two layers.
  const across = [5, 10, 15].map((x): Line => ({ fromMm: [x, 1], toMm: [x, 8], widthMm, dose: () => 1 }));
  const { quantities, ink } = measureSwab(input([...LINES.map((line) => ({ ...line, widthMm })), ...across], 300));
  expect(ink).toBeNull();
  for (const { value: told, flags } of quantities) {
    expect(told).toBeNull();
    expect(flags).toContain('no-swab');
  }
});

test('a swab of 2 mm is one', () => {
  const small: Line = { ...SWAB, widthMm: 2 };
  expect(measureSwab(input([small], 300)).ink).not.toBeNull();
});
