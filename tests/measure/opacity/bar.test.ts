/** Ink across a printed bar, drawn with exact truth; docs/study/opacity.md has many more. */
import { describe, expect, test } from 'vitest';
import { compileCalibration } from '../../../analysis/calibrate/apply.ts';
import { labD50, labToXyz } from '../../../analysis/colour/lab.ts';
import { barCrossings } from '../../../analysis/measure/opacity/barCrossings.ts';
import { coverage } from '../../../analysis/measure/opacity/coverage.ts';
import { findBar } from '../../../analysis/measure/opacity/findBar.ts';
import { measureBar } from '../../../analysis/measure/opacity/measureBar.ts';
import type { PenBar } from '../../../analysis/measure/opacity/pen.ts';
import type { LabValue } from '../../../analysis/quantity.ts';
import { barTrial, drawBarPage, type BarOptions } from '../../../study/barPages.ts';
import { flatSurface } from '../../../study/flatSurface.ts';

const PLAIN: BarOptions = { dpi: 300, sizeMm: [26, 18] };

describe('contrast ratio', () => {
  test.each<[number, BarOptions]>([
    [5, { kind: 'strokes' }],
    [5, { kind: 'swab', upright: true }],
  ])('page %i %o: the true one', (seed, options) => {
    const { measure, truth } = barTrial(seed, { ...PLAIN, ...options });
    const [{ value, u, flags }] = measure.quantities;
    expect(flags).toEqual([]);
    expect(Math.abs(Number(value) - truth)).toBeLessThan(Math.max(0.01, 2.5 * Number(u)));
    expect(Number(u)).toBeLessThan(0.01);
    // The bar is told from the ink over it, and paper from both.
    expect(measure.bar!.white.ground[0]).toBeGreaterThan(85);
    expect(measure.bar!.black.ground[0]).toBeLessThan(35);
    expect(measure.marks!.some((mark) => mark !== 0)).toBe(true);
  });

  test.each<[string, BarOptions, string]>([
    ['a page without a bar', { noBar: true }, 'no-bar'],
    ['a bar that nothing crosses', { noInk: true }, 'no-pass'],
  ])('%s gives no number and says why', (_, options, flag) => {
    const { measure } = barTrial(6, { ...PLAIN, kind: 'strokes', ...options });
    expect(measure.quantities).toMatchObject([{ value: null, u: null, flags: [flag] }]);
    expect(measure.bar).toBeNull();
  });
});

test('a target without a dark grey leaves the dark open, and u says so', () => {
  const { raster, paper, world } = drawBarPage(5, { ...PLAIN, kind: 'swab' });
  const [red, green, blue] = world.calibration.curves;
  const calibration = compileCalibration(world.calibration);
  const told = (darkest: number) =>
    measureBar({
      id: 'bar',
      signal: raster,
      paper: flatSurface(paper),
      bare: null,
      scannerBlurMm: 0.05,
      scanFlags: [],
      calibration: {
        ...calibration,
        calibration: {
          ...world.calibration,
          curves: [{ ...red, linear: [darkest, ...red.linear.slice(1)] }, green, blue],
        },
      },
    });
  const [known, open] = [told(0.01), told(0.2)];
  const [{ value, u }] = known.quantities;
  expect(open.quantities[0].value).toBe(value);
  expect(known.bar!.signals.uDark).toBeLessThan(0.005);
  expect(Number(open.quantities[0].u)).toBeGreaterThan(Number(u) + 0.5 * open.bar!.signals.uDark);
  // What the map is unsure of in L* over black and over white counts by four tenths: the rest is common to both.
  const { black, white, signals } = known.bar!;
  const yOf = ([, a, b]: LabValue, L: number): number => labToXyz(labD50(L, a, b))[1];
  const doubtOfY = ({ ink, u: [uL] }: PenBar['white']): number => yOf(ink, ink[0] + uL / 2) - yOf(ink, ink[0] - uL / 2);
  const apart = Math.hypot(doubtOfY(black), Number(value) * doubtOfY(white)) / yOf(white.ink, white.ink[0]);
  const ofMap = Math.sqrt(Number(known.quantities[0].uParts?.calibration) ** 2 - signals.uDark ** 2);
  expect(ofMap / apart).toBeCloseTo(0.4, 2);
});

test('of a wide line’s middle all light is its own, of a narrow one’s a part', () => {
  expect(coverage(2, 0.2, 0.05)).toBeCloseTo(1, 9);
  // Φ(2) − Φ(−2) at the very middle.
  expect(coverage(0.2, 1e-6, 0.05)).toBeCloseTo(0.9545, 4);
  expect(coverage(0.2, 0.08, 0.05)).toBeLessThan(coverage(0.2, 0.02, 0.05));
});

test('ink that hides the print does not end the bar, paper does', () => {
  // 10 px a millimetre; the bar lies at rows 50 to 70 and ends at column 230; opaque ink crosses it at columns 90 to 110.
  const [WIDTH, HEIGHT] = [260, 120];
  const light = Float32Array.from({ length: WIDTH * HEIGHT }, (_, i) => {
    const [x, y] = [i % WIDTH, Math.floor(i / WIDTH)];
    if (x >= 90 && x <= 110) return 0.4;
    return x < 230 && y >= 50 && y <= 70 ? 0.04 : 1;
  });
  const bar = findBar(light, light, WIDTH, HEIGHT, 254);
  expect([bar?.from, bar?.to]).toEqual([0, 229]);
  expect(barCrossings(bar!, light, 254)).toHaveLength(1);
});

describe('passes over a bar', () => {
  // 10 px a millimetre; the bar lies at t from 50 to 70.
  const [LENGTH, ACROSS] = [200, 120];
  const bar = {
    box: { length: LENGTH, across: ACROSS, at: (s: number, t: number) => t * LENGTH + s },
    from: 0,
    to: LENGTH - 1,
    edges: [
      { at: 50, slope: 0 },
      { at: 70, slope: 0 },
    ],
  } as const;
  const crossings = (middle: (t: number) => number) =>
    barCrossings(
      bar,
      Float32Array.from({ length: LENGTH * ACROSS }, (_, i) =>
        Math.abs((i % LENGTH) - middle(Math.floor(i / LENGTH))) <= 4 ? 0.3 : 1,
      ),
      254,
    );

  test.each([
    ['straight', () => 100],
    ['leaning', (t: number) => 80 + 0.4 * t],
  ])('%s ones are followed', (_, middle) => {
    const found = crossings(middle);
    expect(found).toHaveLength(1);
    expect(Math.abs(found[0].middle(60) - middle(60))).toBeLessThan(1);
  });

  test('one that turns is not: what it does where it cannot be seen is not known', () => {
    expect(crossings((t) => (t < 60 ? 100 - 0.8 * (46 - t) : 100))).toEqual([]);
  });
});
