import { describe, expect, test } from 'vitest';
import { compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { type LabD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { type InkMeasure, measureStrokes, measureSwab } from '../../analysis/measure/ink.ts';
import type { RegionInput } from '../../analysis/measure/region.ts';
import type { QuantityName } from '../../analysis/quantity.ts';
import { triple } from '../../analysis/triple.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { draw, type Drawing, flatPaper, type Line } from './drawInk.ts';

const calibration = compileCalibration(nominalCalibration);
const WHITE = [0.86, 0.85, 0.82] as const;
const BLUE = [1.9, 1.2, 0.45] as const;

function input(signal: LinearRaster, d: Drawing, noise = 0.004): RegionInput {
  const paper = flatPaper(d.paper, noise);
  return {
    id: 'r',
    signal,
    calibration,
    paper,
    bare: barePaperOf(d.paper, calibration),
    // What the rim of a disc would show: the lens and the pixel's own square.
    scannerBlurMm: Math.hypot(d.blurMm ?? 0, 25.4 / d.dpi / Math.sqrt(12)),
    scanFlags: [],
  };
}

function labAt(d: Drawing, dose: number): LabD50 {
  return xyzToLab(
    signalToXyz(
      triple((c) => d.paper[c] * Math.exp(-d.absorption[c] * dose)),
      calibration,
    ),
  );
}

function value(measure: InkMeasure, name: QuantityName): number {
  const found = measure.quantities.find((q) => q.quantity === name);
  if (typeof found?.value !== 'number') throw new Error(`${name} has no number`);
  return found.value;
}

function flags(measure: InkMeasure) {
  return measure.quantities[0].flags;
}

/** ΔE00 and L* step between the mean colours about the 10th and 90th percentile of pixels with these doses. */
function spreadOf(d: Drawing, doses: readonly number[]): { dE00: number; dL: number } {
  const sorted = doses.toSorted((a, b) => a - b);
  const about = (p: number) => {
    const some = sorted.slice(Math.round((p - 0.025) * sorted.length), Math.round((p + 0.025) * sorted.length));
    const mean = triple(
      (c) => some.reduce((sum, dose) => sum + d.paper[c] * Math.exp(-d.absorption[c] * dose), 0) / some.length,
    );
    return xyzToLab(signalToXyz(mean, calibration));
  };
  const [light, dark] = [about(0.1), about(0.9)];
  return { dE00: deltaE2000(light, dark), dL: light[0] - dark[0] };
}

/** Doses on a fine grid over the lines drawn, `inMm` away from their edges. */
function dosesInside(lines: readonly Line[], inMm: number): number[] {
  const doses: number[] = [];
  for (const line of lines) {
    const length = Math.hypot(line.toMm[0] - line.fromMm[0], line.toMm[1] - line.fromMm[1]);
    const radius = line.widthMm / 2 - inMm;
    for (let along = -radius; along < length + radius; along += 0.05) {
      for (let across = -radius; across < radius; across += 0.05) {
        const past = Math.max(0, -along, along - length);
        if (Math.hypot(past, across) <= radius) doses.push(line.dose(Math.min(1, Math.max(0, along / length))));
      }
    }
  }
  return doses;
}

/** Parallel lines whose dose rises from end to end. */
function ramp(from: number, to: number, widthMm: number, slant = 0): Line[] {
  return [4, 8, 12].map((y) => ({
    fromMm: [3, y],
    toMm: [37, y + slant],
    widthMm,
    dose: (t) => from + (to - from) * t,
  }));
}

const PAGE = { widthMm: 40, heightMm: 20, dpi: 300, paper: WHITE, absorption: BLUE, blurMm: 0.05 };

describe('shading against exact doses', () => {
  test.each([
    [300, 0],
    [300, 3],
    [600, 3],
  ])('a dose that rises evenly along straight lines, %i dpi, slant %f mm', (dpi, slant) => {
    const d: Drawing = { ...PAGE, dpi, lines: ramp(0.6, 1.6, 0.9, slant), noise: 0.004, fibres: 0.004 };
    const measure = measureStrokes(input(draw(d), d));
    const truth = spreadOf(d, dosesInside(d.lines, 0.2));
    expect(Math.abs(value(measure, 'shading') - truth.dE00)).toBeLessThan(0.15);
    expect(Math.abs(value(measure, 'shading.dL') - truth.dL)).toBeLessThan(0.15);
  });

  test('fibres and noise alone are not shading', () => {
    const d: Drawing = { ...PAGE, lines: ramp(1, 1, 0.9), noise: 0.006, fibres: 0.006, seed: 4 };
    expect(value(measureStrokes(input(draw(d), d)), 'shading')).toBeLessThan(0.25);
  });

  test('light that falls across the page is not shading', () => {
    const d: Drawing = { ...PAGE, lines: ramp(1, 1, 0.9), noise: 0.002, lightFall: 0.04 };
    expect(value(measureStrokes(input(draw(d), d)), 'shading')).toBeLessThan(0.25);
  });

  test('places where lines cross hold two layers and are left out', () => {
    const across: Line[] = [8, 15, 22, 29, 36].map((x) => ({
      fromMm: [x, 1],
      toMm: [x - 4, 19],
      widthMm: 0.9,
      dose: () => 0.8,
    }));
    const d: Drawing = { ...PAGE, lines: [...ramp(0.8, 0.8, 0.9), ...across], noise: 0.003 };
    const measure = measureStrokes(input(draw(d), d));
    // Counted in, the crossings (dose 1.6 against 0.8) would show 11 ΔE00 between the deepest and the palest tenth.
    expect(value(measure, 'shading')).toBeLessThan(0.2);
    expect(flags(measure)).toContain('crossings-left-out');
  });

  test('a stroke drawn back over itself is left out too', () => {
    const d: Drawing = {
      ...PAGE,
      lines: [
        { fromMm: [3, 5], toMm: [37, 5], widthMm: 0.9, dose: () => 0.8 },
        { fromMm: [20, 5], toMm: [20, 16], widthMm: 0.9, dose: () => 0.8 },
        { fromMm: [20, 5], toMm: [20, 12], widthMm: 0.9, dose: () => 0.8 },
        { fromMm: [20, 12], toMm: [26, 15], widthMm: 0.9, dose: () => 0.8 },
      ],
      noise: 0.003,
    };
    expect(value(measureStrokes(input(draw(d), d)), 'shading')).toBeLessThan(0.2);
  });
});

describe('the colour of strokes', () => {
  test.each([
    ['wide', 0.9, 300],
    ['narrow, 4.7 px', 0.4, 300],
    ['narrow, 3.5 px', 0.3, 300],
    ['the same at 600 dpi', 0.4, 600],
  ])('%s', (_, widthMm, dpi) => {
    const d: Drawing = { ...PAGE, dpi, blurMm: 0.06, lines: ramp(1.2, 1.2, widthMm, 2), noise: 0.003 };
    const measure = measureStrokes(input(draw(d), d));
    expect(deltaE2000(measure.ink!.colour.lab, labAt(d, 1.2))).toBeLessThan(0.5);
    expect(flags(measure).includes('blur-corrected')).toBe((widthMm * dpi) / 25.4 < 6);
  });

  test.each([
    ['two and a half pixels, which blur widens to more than three,', 72, true],
    ['five pixels', 144, false],
  ])('a line of %s at %d dpi: too narrow to be read, or not', (_, dpi, tooNarrow) => {
    const d: Drawing = { ...PAGE, dpi, blurMm: 0.3, lines: ramp(1.2, 1.2, 0.9, 2), noise: 0.003 };
    expect(flags(measureStrokes(input(draw(d), d))).includes('below-resolution')).toBe(tooNarrow);
  });

  test.each([
    ['1 px', 0.36, false, false],
    ['1.9 px', 0.67, true, false],
    ['2.8 px', 1, true, true],
  ])('a line of %s at 72 dpi: what is told of it', (_, widthMm, colour, shading) => {
    const d: Drawing = { ...PAGE, dpi: 72, blurMm: 0.06, lines: ramp(0.8, 1.6, widthMm, 2), noise: 0.003 };
    const measure = measureStrokes(input(draw(d), d));
    const isTold = (name: string) => measure.quantities.some((q) => q.quantity === name && q.value !== null);
    expect([isTold('inkColour'), isTold('inkDensity'), isTold('lineWidth')]).toEqual([colour, colour, colour]);
    expect([isTold('shading'), isTold('shading.dL'), isTold('sheen')]).toEqual([shading, shading, shading]);
    expect(measure.quantities.every(({ value, flags }) => value !== null || flags.includes('below-resolution'))).toBe(
      true,
    );
    expect(measure.spread !== null).toBe(shading);
  });

  test('yellow ink on grey paper, which has no luminance contrast to speak of', () => {
    const d: Drawing = {
      ...PAGE,
      paper: [0.42, 0.42, 0.43],
      absorption: [0.01, 0.04, 1.1],
      lines: ramp(1, 1, 0.9),
      noise: 0.006,
    };
    const measure = measureStrokes(input(draw(d), d, 0.006));
    expect(deltaE2000(measure.ink!.colour.lab, labAt(d, 1))).toBeLessThan(0.02);
  });

  test('pale ink beside dark ink: both count', () => {
    const lines = [...ramp(0.15, 0.15, 0.9), { fromMm: [3, 16], toMm: [37, 16], widthMm: 0.9, dose: () => 2 } as Line];
    const d: Drawing = { ...PAGE, lines, noise: 0.003 };
    const measure = measureStrokes(input(draw(d), d));
    expect(Math.abs(deltaE2000(labAt(d, 0.15), labAt(d, 2)) - value(measure, 'shading'))).toBeLessThan(0.1);
  });
});

describe('regions that hold nothing to measure', () => {
  test('bare paper has no ink', () => {
    for (const seed of [1, 2, 3, 4, 5, 6]) {
      const d: Drawing = { ...PAGE, lines: [], noise: 0.005, fibres: 0.005, seed };
      const measure = measureStrokes(input(draw(d), d, 0.007));
      expect(measure.ink).toBeNull();
      const names = ['inkColour', 'shading', 'layering', 'lineWidth', 'spread', 'raggedness', 'feathering', 'edgeBlur'];
      expect(measure.quantities.map((q) => q.quantity)).toEqual([...names, 'halo', 'sheen']);
      expect(measure.quantities.every((q) => q.value === null && q.u === null)).toBe(true);
      expect(flags(measure)).toContain('no-ink');
    }
  });

  test('no bare paper to judge against', () => {
    const d: Drawing = { ...PAGE, lines: ramp(1, 1, 0.9) };
    const measure = measureStrokes({ ...input(draw(d), d), paper: null, bare: null });
    expect(measure.quantities[0]).toMatchObject({ value: null, u: null, flags: ['no-bare-paper'] });
  });

  test('clipped pixels taint the colour', () => {
    const d: Drawing = { ...PAGE, lines: ramp(1, 1, 0.9) };
    const signal = draw(d);
    signal.clipped.fill(1);
    expect(flags(measureStrokes(input(signal, d)))).toContain('clipped');
    signal.clipped.fill(0);
    expect(flags(measureStrokes(input(signal, d)))).not.toContain('clipped');
    const burnt = input(signal, d);
    expect(flags(measureStrokes({ ...burnt, paper: { ...flatPaper(d.paper), clippedShare: 0.02 } }))).toContain(
      'clipped',
    );
  });
});

describe('swabs', () => {
  test('an even swab varies by nothing, a graded one by the colours at a tenth and nine tenths', () => {
    const swab = (to: number): Drawing => ({
      ...PAGE,
      lines: [{ fromMm: [6, 10], toMm: [34, 10], widthMm: 10, dose: (t) => 0.3 + (to - 0.3) * t }],
      noise: 0.004,
      fibres: 0.006,
    });
    const even = swab(0.3);
    expect(value(measureSwab(input(draw(even), even)), 'swabVariation')).toBeLessThan(0.05);
    const graded = swab(1.5);
    const measured = value(measureSwab(input(draw(graded), graded)), 'swabVariation');
    expect(Math.abs(measured - spreadOf(graded, dosesInside(graded.lines, 0.5)).dE00)).toBeLessThan(0.25);
  });

  test('a box that lies wholly inside the swab is measured against the page’s paper', () => {
    const d: Drawing = {
      ...PAGE,
      lines: [{ fromMm: [-20, 10], toMm: [60, 10], widthMm: 60, dose: () => 0.7 }],
      noise: 0.004,
    };
    const measure = measureSwab(input(draw(d), d));
    expect(deltaE2000(measure.ink!.colour.lab, labAt(d, 0.7))).toBeLessThan(0.01);
  });
});
