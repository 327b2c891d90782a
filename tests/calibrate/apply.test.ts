import { describe, expect, it } from 'vitest';
import {
  compileCalibration,
  insideTargetGamut,
  linearise,
  signalToXyz,
  signalsToXyz,
} from '../../analysis/calibrate/apply.ts';
import type { Calibration, ColourModelName, FlatField } from '../../analysis/calibrate/calibration.ts';
import { cubeRoot } from '../../analysis/calibrate/cubeRoot.ts';
import { lightAt } from '../../analysis/calibrate/flatField.ts';
import { COLOUR_MODELS, termCount } from '../../analysis/calibrate/models.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { srgbToXyzD50 } from '../../analysis/colour/srgb.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';

/** A made-up calibration of every model: coefficients that differ, so that a swapped term shows. */
function madeUp(model: ColourModelName, flatField: FlatField | null = null): Calibration {
  const n = termCount(model);
  const matrix = [0, 1, 2].map((row) => Array.from({ length: n }, (_, i) => Math.sin(3 * row + 7 * i + 1) / 3));
  return { ...nominalCalibration, model, matrix, flatField };
}

const fewColours: readonly (readonly [number, number, number])[] = [
  [0.9, 0.8, 0.7],
  [0.02, 0.3, 0.001],
  [0, 0, 0],
  [-0.01, 0.4, 0.2],
  [1.4, 2.3, 0.5],
  [1e-5, 3e-4, 0.02],
];

describe('signals to XYZ', () => {
  it.each([...COLOUR_MODELS, 'nominal'] as const)('%s: the page loop agrees with one colour at a time', (model) => {
    const c = compileCalibration(madeUp(model));
    const signals = Float32Array.from(fewColours.flat());
    const out = new Float32Array(signals.length);
    signalsToXyz(signals, c, out);
    fewColours.forEach((signal, i) => {
      const xyz = signalToXyz(signal, c);
      for (let k = 0; k < 3; k++) expect(Math.abs(out[3 * i + k] - xyz[k])).toBeLessThan(1e-6);
    });
    signalsToXyz(signals, c, signals);
    expect(signals).toEqual(out);
  });

  it.each(['linear', 'rootPolynomial2', 'rootPolynomial3'] as const)(
    '%s: twice the light is twice the XYZ',
    (model) => {
      const c = compileCalibration(madeUp(model));
      const once = signalToXyz([0.31, 0.2, 0.07], c);
      const twice = signalToXyz([0.62, 0.4, 0.14], c);
      once.forEach((value, k) => expect(twice[k]).toBeCloseTo(2 * value, 12));
    },
  );
});

const rasterOf = (bits: 8 | 16, values: readonly number[], widthPx: number): DeviceRaster => ({
  data: bits === 8 ? Uint8Array.from(values) : Uint16Array.from(values),
  widthPx,
  heightPx: values.length / 3 / widthPx,
  bits,
  dpi: 300,
  originPx: [100, 40],
});

describe('linearise', () => {
  it.each([8, 16] as const)('without a target a %i-bit scan is read as sRGB', (bits) => {
    const top = bits === 8 ? 255 : 65535;
    const codes = [0.1, 0.5, 0.9].map((v) => Math.round(v * top));
    const c = compileCalibration(nominalCalibration);
    const { data } = linearise(rasterOf(bits, codes, 1), c);
    const xyz = signalToXyz([data[0], data[1], data[2]], c);
    const expected = srgbToXyzD50(codes[0] / top, codes[1] / top, codes[2] / top);
    expected.forEach((value, k) => expect(xyz[k]).toBeCloseTo(value, 4));
  });

  it('marks pixels at either end of the scale, and no others', () => {
    const { clipped } = linearise(
      rasterOf(8, [0, 9, 9, 1, 9, 254, 9, 255, 9], 3),
      compileCalibration(nominalCalibration),
    );
    expect([...clipped]).toEqual([1, 0, 1]);
  });

  it('divides by the light at the place on the bed', () => {
    const flatField: FlatField = {
      coefficients: [
        [1, 0.1, 0, 0, 0, 0],
        [1, 0, -0.1, 0, 0.02, 0],
        [1, 0.01, 0.02, -0.03, 0.04, 0.05],
      ],
      centreMm: [10, 4],
      halfMm: [3, 2],
      residual: 0,
    };
    const even = compileCalibration(nominalCalibration);
    const uneven = compileCalibration({ ...nominalCalibration, flatField });
    const scan = rasterOf(
      8,
      Array.from({ length: 3 * 90 * 60 }, (_, i) => 40 + (i % 180)),
      90,
    );
    const a = linearise(scan, even).data;
    const b = linearise(scan, uneven).data;
    for (const [x, y] of [
      [0, 0],
      [45, 20],
      [89, 59],
    ]) {
      for (let k = 0; k < 3; k++) {
        const i = 3 * (90 * y + x) + k;
        const placeMm = [((100 + x + 0.5) * 25.4) / 300, ((40 + y + 0.5) * 25.4) / 300] as const;
        expect(b[i]).toBeCloseTo(a[i] / lightAt(flatField, k, placeMm), 6);
      }
    }
    expect(b[2]).not.toBeCloseTo(a[2], 4);
  });
});

describe('the gamut test', () => {
  const corners: [number, number, number][] = [0.05, 0.8].flatMap((r) =>
    [0.05, 0.8].flatMap((g) => [0.05, 0.8].map((b): [number, number, number] => [r, g, b])),
  );
  const c = compileCalibration({ ...nominalCalibration, signals: corners });

  it('holds the target and what lies between, and nothing far outside', () => {
    for (const corner of corners) expect(insideTargetGamut(corner, c)).toBe(true);
    expect(insideTargetGamut([0.3, 0.3, 0.3], c)).toBe(true);
    expect(insideTargetGamut([0.8, 0.3, 0.02], c)).toBe(false);
    expect(insideTargetGamut([0.9, 0.9, 0.9], c)).toBe(false);
    expect(insideTargetGamut([0.001, 0.001, 0.001], c)).toBe(false);
  });

  it('without a target says nothing against a colour', () => {
    expect(insideTargetGamut([3, 0, 3], compileCalibration(nominalCalibration))).toBe(true);
  });
});

describe('cube root by table', () => {
  it('stays within its stated 1.8e-6 of the true one, relative, over seven decades', () => {
    for (let x = 1e-5; x < 100; x *= 1.0007) expect(Math.abs(cubeRoot(x) / Math.cbrt(x) - 1)).toBeLessThan(1.8e-6);
    expect(cubeRoot(0)).toBe(0);
  });
});
