/** Whole pages → Lab: the one loop and the strips against the plain forms, pixel by pixel. */
import { describe, expect, test } from 'vitest';
import { compileCalibration, linearise, signalToXyz } from '../../analysis/calibrate/apply.ts';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { pageLab } from '../../analysis/calibrate/pageLab.ts';
import { srgbToXyzD50 } from '../../analysis/colour/srgb.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';

/** 150 rows: two whole strips and a part; every fifth pixel black, every seventh white. */
function noisePage(bits: 8 | 16): DeviceRaster {
  const [widthPx, heightPx, top] = [17, 150, bits === 8 ? 255 : 65535];
  const random = seededRandom(bits);
  const data = new (bits === 8 ? Uint8Array : Uint16Array)(3 * widthPx * heightPx).map((_, i) => {
    const pixel = Math.floor(i / 3);
    return pixel % 5 === 0 ? 0 : pixel % 7 === 0 ? top : Math.floor(random() * (top + 1));
  });
  return { data, widthPx, heightPx, bits, dpi: 600, originPx: [300, 700] };
}

/** Largest gap in L*, a* or b* between `pageLab` and one pixel at a time in the plain forms. */
function largestGap(raster: DeviceRaster, calibration: Calibration): number {
  const c = compileCalibration(calibration);
  const lab = new Float32Array(raster.data.length);
  pageLab(raster, c, lab);
  const signals = linearise(raster, c).data;
  let gap = 0;
  for (let i = 0; i < lab.length; i += 3) {
    const plain = xyzToLab(signalToXyz([signals[i], signals[i + 1], signals[i + 2]], c));
    for (let k = 0; k < 3; k++) {
      if (!Number.isFinite(lab[i + k])) return Infinity;
      gap = Math.max(gap, Math.abs(lab[i + k] - plain[k]));
    }
  }
  return gap;
}

const scaled = (factor: number): readonly (readonly number[])[] =>
  nominalCalibration.matrix.map((row) => row.map((v) => v * factor));
const widened = (more: readonly number[]): readonly (readonly number[])[] =>
  nominalCalibration.matrix.map((row) => [...row, ...more]);
const sloping = {
  coefficients: [
    [1, 0.05, 0.02, -0.01, 0, -0.03],
    [1, 0.04, 0.02, -0.01, 0, -0.03],
    [1, 0.05, 0.03, -0.02, 0, -0.03],
  ],
  centreMm: [13, 33],
  halfMm: [8, 8],
  residual: 0,
} as const;

const [curve] = nominalCalibration.curves;
const steeper = { ...curve, linear: curve.linear.map((v) => v * v) };
const paler = { ...curve, linear: curve.linear.map((v) => 0.9 * v) };

describe('page → Lab', () => {
  test.each<[string, Calibration]>([
    ['the nominal matrix', nominalCalibration],
    ['a curve of its own for each channel', { ...nominalCalibration, curves: [steeper, curve, paler] }],
    ['a matrix that reaches beyond twice the white', { ...nominalCalibration, model: 'linear', matrix: scaled(3) }],
    ['a matrix that goes below black', { ...nominalCalibration, model: 'linear', matrix: scaled(-0.5) }],
    ['an affine model', { ...nominalCalibration, model: 'affine', matrix: widened([0.01]) }],
    ['a root polynomial', { ...nominalCalibration, model: 'rootPolynomial2', matrix: widened([0.02, -0.01, 0.03]) }],
    ['uneven light', { ...nominalCalibration, flatField: sloping }],
  ])('%s, 8 and 16 bit', (_, calibration) => {
    expect(largestGap(noisePage(8), calibration)).toBeLessThan(4e-4);
    expect(largestGap(noisePage(16), calibration)).toBeLessThan(4e-4);
  });

  test('without a target a scan is read as sRGB', () => {
    const codes = [12, 44, 36, 200, 180, 150, 255, 255, 255];
    const raster = {
      data: Uint8Array.from(codes),
      widthPx: 3,
      heightPx: 1,
      bits: 8,
      dpi: 600,
      originPx: [0, 0],
    } as const;
    const lab = new Float32Array(9);
    pageLab(raster, compileCalibration(nominalCalibration), lab);
    for (let i = 0; i < 9; i += 3) {
      const [r, g, b] = codes.slice(i, i + 3);
      xyzToLab(srgbToXyzD50(r / 255, g / 255, b / 255)).forEach((v, k) =>
        expect(Math.abs(lab[i + k] - v)).toBeLessThan(0.02),
      );
    }
  });
});
