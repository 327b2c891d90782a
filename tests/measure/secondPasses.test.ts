import { describe, expect, test } from 'vitest';
import { compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { type LabD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { measureStrokes } from '../../analysis/measure/ink.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { triple } from '../../analysis/triple.ts';
import { draw, type Drawing, flatPaper, type Line } from './drawInk.ts';

const calibration = compileCalibration(nominalCalibration);
const PAGE = {
  widthMm: 30,
  heightMm: 16,
  paper: [0.86, 0.85, 0.82],
  absorption: [1.9, 1.2, 0.45],
  noise: 0.003,
} as const;

/** @param seen what becomes of a channel's density (natural logarithm, the channel's absorption taken off) */
function layeringOf(d: Drawing, seen: (dose: number) => number = (dose) => dose): Quantity {
  const signal = draw(d);
  const data = signal.data.map((v, i) => {
    const white = d.paper[i % 3];
    const each = d.absorption[i % 3];
    return white * Math.exp(-each * seen(-Math.log(v / white) / each));
  });
  const measure = measureStrokes({
    id: 'r',
    signal: { ...signal, data },
    calibration,
    paper: flatPaper(d.paper),
    bare: barePaperOf(d.paper, calibration),
    scannerBlurMm: Math.hypot(d.blurMm ?? 0, 25.4 / d.dpi / Math.sqrt(12)),
    scanFlags: [],
  });
  return measure.quantities.find((q) => q.quantity === 'layering')!;
}

function labAt(d: Drawing, dose: number): LabD50 {
  return xyzToLab(
    signalToXyz(
      triple((c) => d.paper[c] * Math.exp(-d.absorption[c] * dose)),
      calibration,
    ),
  );
}

/** Slanting lines across two level ones, far enough apart that each crossing stands alone, at places that no ruling has. */
function crossing(widthMm: number, dose: number): Line[] {
  const line = (fromMm: [number, number], toMm: [number, number]): Line => ({
    fromMm,
    toMm,
    widthMm,
    dose: () => dose,
  });
  return [
    line([2, 3.2], [27.5, 7.3]),
    line([2.6, 13.3], [28, 9.6]),
    ...[4.5, 9.9, 16.1, 21.2].map((x, k) => line([x, 1.6], [x + 1.2 + 0.7 * k, 14.2])),
  ];
}

describe('what a second pass does', () => {
  test.each([
    ['a broad line', 1, 300, 0.7],
    ['a pale one', 1, 300, 0.25],
    ['a medium one, blurred', 0.7, 300, 0.7],
    ['the same at 600 dpi', 0.7, 600, 0.7],
  ])('%s', (_, widthMm, dpi, dose) => {
    const d: Drawing = { ...PAGE, dpi, blurMm: 0.06, lines: crossing(widthMm, dose) };
    const truth = deltaE2000(labAt(d, dose), labAt(d, 2 * dose));
    const found = layeringOf(d);
    expect(Math.abs(Number(found.value) - truth)).toBeLessThan(0.5);
    // Without a target the calibration's part is large; what the scan itself leaves open is not.
    expect(Number(found.uParts?.repeatability)).toBeLessThan(0.04);
    expect(Number(found.uParts?.placement)).toBeLessThan(0.5);
    // 0.5 to 0.9 of it.
    expect(Math.abs(Number(found.value) - truth)).toBeLessThan(1.2 * Number(found.uParts?.placement));
  });

  test('of a pen that writes much paler and darker within a letter, whose dark parts are no second pass', () => {
    const [first, second, ...slanting] = crossing(1, 0.7);
    const uneven = (line: Line, k: number): Line => ({
      ...line,
      dose: (t) => 0.7 * (1 + 0.35 * Math.sin(2 * Math.PI * (3 * t + 0.31 * k))),
    });
    // Strokes that touch others all along: where they are dark they are nearly as dense as two.
    const beside = slanting.map(({ fromMm: [x, y], toMm: [u, v], ...line }): Line => ({
      ...line,
      fromMm: [x + 0.9, y],
      toMm: [u + 1.5, v],
    }));
    const lines = [first, second, ...slanting, ...beside].map(uneven);
    const d: Drawing = { ...PAGE, dpi: 300, blurMm: 0.06, lines };
    const found = layeringOf(d);
    // Of twice the mean dose; of all that lies twice here, by its area, it is 5 % less.
    const truth = deltaE2000(labAt(d, 0.7), labAt(d, 1.4));
    expect(Math.abs(Number(found.value) - truth)).toBeLessThan(0.15 * truth);
    // Densities differ where it lies twice, which is doubt, and so is from which one on it lies twice: 2.0 of 18.8, 1.7 without the first; 0.1 to 0.2 where a pen writes evenly.
    expect(Number(found.uParts?.placement)).toBeGreaterThan(1.9);
  });

  test('of an ink whose second pass adds a third of the first', () => {
    const d: Drawing = { ...PAGE, dpi: 300, blurMm: 0.06, lines: crossing(1, 0.7) };
    const found = layeringOf(d, (dose) => Math.min(dose, 0.7 + (dose - 0.7) / 3));
    const truth = deltaE2000(labAt(d, 0.7), labAt(d, (0.7 * 4) / 3));
    expect(Math.abs(Number(found.value) - truth)).toBeLessThan(0.012 * truth);
  });

  test('four crossings are few, eight are not', () => {
    const some = crossing(1, 0.7);
    const flagsOf = (lines: readonly Line[]) => layeringOf({ ...PAGE, dpi: 300, lines }).flags;
    expect(flagsOf(some)).not.toContain('few-pixels');
    expect(flagsOf(some.slice(0, 4))).toContain('few-pixels');
  });

  test('lines that do not cross say nothing', () => {
    const found = layeringOf({ ...PAGE, dpi: 300, lines: crossing(1, 0.7).slice(0, 2) });
    expect(found).toMatchObject({ value: null, u: null });
    expect(found.flags).toContain('no-crossings');
  });

  test('crossings of lines narrower than six pixels are filled by blur', () => {
    const found = layeringOf({ ...PAGE, dpi: 300, blurMm: 0.06, lines: crossing(0.4, 0.7) });
    expect(found.value).toBeNull();
    expect(found.flags).toContain('below-resolution');
  });

  test('the same scan gives the same number', () => {
    const d: Drawing = { ...PAGE, dpi: 300, lines: crossing(1, 0.7) };
    expect(layeringOf(d)).toEqual(layeringOf(d));
  });
});
