/** Scans with known device values in files of every kind, and what their colours should be, one pixel at a time. */
import sharp from 'sharp';
import { compileCalibration, linearise, signalToXyz } from '../../analysis/calibrate/apply.ts';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import type { Xyz } from '../../analysis/colour/lab.ts';
import { xyzD50ToSrgb8 } from '../../analysis/colour/srgb.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { readScan } from '../../electron/scans/readScan.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import type { ViewColours, ViewScan } from '../../electron/view/messages.ts';

export interface Drawn {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bits: 8 | 16;
  readonly samples: Uint8Array | Uint16Array;
}

/** Slow waves of colour with noise on them; in places black and white. */
export function drawPixels(seed: number, widthPx: number, heightPx: number, bits: 8 | 16): Drawn {
  const random = seededRandom(seed);
  const top = bits === 8 ? 255 : 65535;
  const samples = bits === 8 ? new Uint8Array(3 * widthPx * heightPx) : new Uint16Array(3 * widthPx * heightPx);
  for (let y = 0, i = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      for (let k = 0; k < 3; k++, i++) {
        const wave = 0.55 + 0.4 * Math.sin(x / (37 + 11 * k) + seed) * Math.cos(y / (53 - 7 * k));
        const value = wave + 0.1 * (random() - 0.5);
        samples[i] = Math.round(top * Math.min(1, Math.max(0, value)));
      }
    }
  }
  return { widthPx, heightPx, bits, samples };
}

export const SLOPING_LIGHT = {
  coefficients: [
    [1, 0.15, 0.08, -0.05, 0.02, -0.03],
    [1, 0.12, 0.06, -0.04, 0.01, -0.03],
    [1, 0.1, 0.1, -0.05, 0, -0.02],
  ],
  centreMm: [12, 14],
  halfMm: [12, 14],
  residual: 0,
} as const;

const [curve] = nominalCalibration.curves;
/** Curves, uneven light and a matrix, none of which is sRGB's. */
export const CALIBRATION: Calibration = {
  ...nominalCalibration,
  judgement: 'good',
  model: 'rootPolynomial2',
  curves: [
    curve,
    { ...curve, linear: curve.linear.map((v) => 0.95 * v ** 1.1) },
    { ...curve, linear: curve.linear.map((v) => 0.9 * v) },
  ],
  matrix: nominalCalibration.matrix.map((row) => [...row.map((v) => 0.97 * v), 0.01, -0.005, 0.01]),
  flatField: SLOPING_LIGHT,
  leftOutMean: 1,
};
export const CALIBRATED: ViewColours = { by: 'calibration', key: 'c1', calibration: CALIBRATION };
export const ASSUMED: ViewColours = { by: 'assumed-srgb', key: 's' };

/** The scan in a file that lies there already. @param hash Any name that no other scan of the test has. */
export async function viewScan(file: string, hash: string, colours: ViewColours, dpi = 300): Promise<ViewScan> {
  return { file, hash, info: await scanInfo(file), dpi, colours };
}

/** XYZ of the file's own pixels, one by one: where `data` begins at (0, 0) of the scan. */
export async function plainXyz({ file, dpi, colours }: ViewScan): Promise<Xyz[]> {
  const raster = await readScan(file, null, dpi ?? 0);
  return xyzOf(raster, colours.by === 'calibration' ? colours.calibration : nominalCalibration);
}

export function xyzOf(raster: DeviceRaster, calibration: Calibration): Xyz[] {
  const c = compileCalibration(calibration);
  const { data } = linearise(raster, c);
  return Array.from({ length: data.length / 3 }, (_, i) =>
    signalToXyz([data[3 * i], data[3 * i + 1], data[3 * i + 2]], c),
  );
}

/** Means over squares of the scan, of what there is at the edges. */
export function averaged(xyz: readonly Xyz[], widthPx: number, side: number): Xyz[] {
  const heightPx = xyz.length / widthPx;
  const out: Xyz[] = [];
  for (let y = 0; y < heightPx; y += side) {
    for (let x = 0; x < widthPx; x += side) {
      const sum = [0, 0, 0];
      let pixels = 0;
      for (let v = y; v < Math.min(heightPx, y + side); v++) {
        for (let u = x; u < Math.min(widthPx, x + side); u++, pixels++) {
          for (let k = 0; k < 3; k++) sum[k] += xyz[v * widthPx + u][k];
        }
      }
      out.push([sum[0] / pixels, sum[1] / pixels, sum[2] / pixels]);
    }
  }
  return out;
}

export interface Picture {
  readonly data: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
}

export async function decoded(png: Uint8Array): Promise<Picture> {
  const { data, info } = await sharp(png).raw().toBuffer({ resolveWithObject: true });
  return { data, widthPx: info.width, heightPx: info.height };
}

/** Largest gap between a picture and the sRGB codes of a part of a raster of colours. */
export function largestGap(
  picture: Picture,
  xyz: readonly Xyz[],
  widthPx: number,
  [left, top]: readonly [number, number],
): number {
  let gap = 0;
  for (let y = 0; y < picture.heightPx; y++) {
    for (let x = 0; x < picture.widthPx; x++) {
      const { rgb } = xyzD50ToSrgb8(xyz[(top + y) * widthPx + left + x]);
      for (let k = 0; k < 3; k++) {
        gap = Math.max(gap, Math.abs(rgb[k] - picture.data[3 * (y * picture.widthPx + x) + k]));
      }
    }
  }
  return gap;
}
