/** Whole pages: device values → CIELAB (D50) without holding the page in any other form. */
import type { CompiledCalibration } from './apply.ts';
import { linearise, signalsToXyz } from './apply.ts';
import { D50, labCurve } from '../colour/lab.ts';
import { LAB_CURVE, LAB_CURVE_SCALE, LAB_CURVE_STEPS, xyzToLabArray } from '../colour/labArrays.ts';
import type { DeviceRaster } from '../raster/raster.ts';

/** Rows worked on at a time: the strip's signals stay near the processor. */
const STRIP_ROWS = 64;

/**
 * L*, a*, b* of every pixel, interleaved. With a matrix model and no flat field it goes in one pass (measured: half the time);
 * otherwise in strips of 64 rows. Both give what `linearise`, `signalsToXyz` and `xyzToLabArray` give, within 0.0001.
 * @param out length 3 · widthPx · heightPx
 */
export function pageLab(raster: DeviceRaster, c: CompiledCalibration, out: Float32Array): void {
  const { model, flatField } = c.calibration;
  if (flatField === null && (model === 'linear' || model === 'nominal' || model === 'affine'))
    matrixLab(raster, c, out);
  else stripsLab(raster, c, out);
}

function stripsLab(raster: DeviceRaster, c: CompiledCalibration, out: Float32Array): void {
  const { data, widthPx, heightPx, originPx } = raster;
  for (let y = 0; y < heightPx; y += STRIP_ROWS) {
    const rows = Math.min(STRIP_ROWS, heightPx - y);
    const [from, to] = [3 * y * widthPx, 3 * (y + rows) * widthPx];
    const strip = {
      ...raster,
      data: data.subarray(from, to),
      heightPx: rows,
      originPx: [originPx[0], originPx[1] + y] as const,
    };
    const signals = linearise(strip, c).data;
    signalsToXyz(signals, c, signals);
    xyzToLabArray(signals, out.subarray(from, to));
  }
}

/** Tables, a 3 × 3 or 3 × 4 matrix that already divides by the white, and the Lab curve, pixel by pixel. */
function matrixLab(raster: DeviceRaster, c: CompiledCalibration, out: Float32Array): void {
  const { data } = raster;
  const curve = LAB_CURVE; // local: an imported name is looked up at every use
  const steps = LAB_CURVE_STEPS;
  const [red, green, blue] = raster.bits === 8 ? c.tables8 : c.tables16;
  const [x0, x1, x2, x3] = scaledRow(c, 0, D50[0]);
  const [y0, y1, y2, y3] = scaledRow(c, 1, D50[1]);
  const [z0, z1, z2, z3] = scaledRow(c, 2, D50[2]);
  for (let i = 0; i + 2 < data.length; i += 3) {
    const r = red[data[i]];
    const g = green[data[i + 1]];
    const b = blue[data[i + 2]];
    const x = x0 * r + x1 * g + x2 * b + x3;
    const y = y0 * r + y1 * g + y2 * b + y3;
    const z = z0 * r + z1 * g + z2 * b + z3;
    let fx: number;
    let fy: number;
    let fz: number;
    if (x >= 0 && x < steps && y >= 0 && y < steps && z >= 0 && z < steps) {
      const kx = x | 0;
      const ky = y | 0;
      const kz = z | 0;
      fx = curve[kx] + (x - kx) * (curve[kx + 1] - curve[kx]);
      fy = curve[ky] + (y - ky) * (curve[ky + 1] - curve[ky]);
      fz = curve[kz] + (z - kz) * (curve[kz + 1] - curve[kz]);
    } else {
      fx = labCurve(x / LAB_CURVE_SCALE);
      fy = labCurve(y / LAB_CURVE_SCALE);
      fz = labCurve(z / LAB_CURVE_SCALE);
    }
    out[i] = 116 * fy - 16;
    out[i + 1] = 500 * (fx - fy);
    out[i + 2] = 200 * (fy - fz);
  }
}

/** One row of the matrix in units of the curve's table; the fourth number is the offset of an affine model. */
function scaledRow(c: CompiledCalibration, row: number, white: number): [number, number, number, number] {
  const n = c.calibration.model === 'affine' ? 4 : 3;
  const scale = LAB_CURVE_SCALE / white;
  const at = (k: number): number => c.matrix[row * n + k] * scale;
  return [at(0), at(1), at(2), n === 4 ? at(3) : 0];
}
