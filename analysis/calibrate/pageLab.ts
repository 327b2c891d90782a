/** Whole pages: device values → CIELAB (D50) without holding the page in any other form. */
import type { CompiledCalibration } from './apply.ts';
import { linearise, signalsToXyz } from './apply.ts';
import { D50, labCurve } from '../colour/lab.ts';
import { LAB_CURVE, LAB_CURVE_SCALE, LAB_CURVE_STEPS, xyzToLabArray } from '../colour/labArrays.ts';
import type { DeviceRaster } from '../raster/raster.ts';

/** Rows worked on at a time: a strip stays near the processor. */
const STRIP_ROWS = 64;
/** Where the three channels' tables begin, behind the Lab curve, in one array; 65536 entries each. */
const RED = 65536;
const GREEN = 131072;
const BLUE = 196608;
/** Bits that no step of the Lab curve has. */
const OUTSIDE = ~(LAB_CURVE_STEPS - 1);

/**
 * L*, a*, b* of every pixel, interleaved. With a 3 × 3 matrix and no flat field the strips go through one loop (measured: half the
 * time); otherwise through `linearise`, `signalsToXyz` and `xyzToLabArray`, which the loop equals within 0.0001.
 * @param out length 3 · widthPx · heightPx
 */
export function pageLab(raster: DeviceRaster, c: CompiledCalibration, out: Float32Array): void {
  const { data, widthPx, heightPx, originPx } = raster;
  const { model, flatField } = c.calibration;
  const oneLoop =
    flatField === null && (model === 'linear' || model === 'nominal') ? compileLoop(raster.bits, c) : null;
  for (let y = 0; y < heightPx; y += STRIP_ROWS) {
    const rows = Math.min(STRIP_ROWS, heightPx - y);
    const [from, to] = [3 * y * widthPx, 3 * (y + rows) * widthPx];
    const strip = data.subarray(from, to);
    const lab = out.subarray(from, to);
    if (oneLoop !== null) {
      matrixLab(strip, oneLoop.tables, oneLoop.matrix, lab);
    } else {
      const part = { ...raster, data: strip, heightPx: rows, originPx: [originPx[0], originPx[1] + y] as const };
      const signals = linearise(part, c).data;
      signalsToXyz(signals, c, signals);
      xyzToLabArray(signals, lab);
    }
  }
}

interface LoopTables {
  /** The Lab curve and the three channels' curves. */
  readonly tables: Float32Array;
  /** 3 × 3, row by row, to steps of the Lab curve. */
  readonly matrix: Float64Array;
}

const compiled = {
  8: new WeakMap<CompiledCalibration, LoopTables>(),
  16: new WeakMap<CompiledCalibration, LoopTables>(),
};

/** Kept with the calibration, since filling a megabyte costs as much as a few rows. */
function compileLoop(bits: 8 | 16, c: CompiledCalibration): LoopTables {
  const known = compiled[bits].get(c);
  if (known !== undefined) return known;
  const [red, green, blue] = bits === 8 ? c.tables8 : c.tables16;
  const tables = new Float32Array(BLUE + 65536);
  tables.set(LAB_CURVE);
  tables.set(red, RED);
  tables.set(green, GREEN);
  tables.set(blue, BLUE);
  const matrix = c.matrix.map((value, i) => (value * LAB_CURVE_SCALE) / D50[Math.floor(i / 3)]);
  compiled[bits].set(c, { tables, matrix });
  return { tables, matrix };
}

/**
 * Curves, matrix and Lab in one loop. All tables share one array `t`, and indices are put together by bits: each further array or
 * check in this loop costs some five per cent.
 */
function matrixLab(data: Uint8Array | Uint16Array, t: Float32Array, m: Float64Array, out: Float32Array): void {
  // One by one: numbers unpacked as `[x0, x1 …] = m` stay boxed for the loop, which then takes a sixth longer.
  const x0 = m[0];
  const x1 = m[1];
  const x2 = m[2];
  const y0 = m[3];
  const y1 = m[4];
  const y2 = m[5];
  const z0 = m[6];
  const z1 = m[7];
  const z2 = m[8];
  const end = data.length - 2;
  for (let i = 0; i < end; i += 3) {
    const r = t[data[i] | RED];
    const g = t[data[i + 1] | GREEN];
    const b = t[data[i + 2] | BLUE];
    const x = x0 * r + x1 * g + x2 * b;
    const y = y0 * r + y1 * g + y2 * b;
    const z = z0 * r + z1 * g + z2 * b;
    const kx = x | 0;
    const ky = y | 0;
    const kz = z | 0;
    if (((kx | ky | kz) & OUTSIDE) === 0) {
      const fy = t[ky << 1] + y * t[(ky << 1) | 1];
      out[i] = 116 * fy - 16;
      out[i + 1] = 500 * (t[kx << 1] + x * t[(kx << 1) | 1] - fy);
      out[i + 2] = 200 * (fy - t[kz << 1] - z * t[(kz << 1) | 1]);
    } else {
      outsideLab(x, y, z, out, i);
    }
  }
}

/** A pixel at least twice as light as the white, or darker than black. */
function outsideLab(x: number, y: number, z: number, out: Float32Array, i: number): void {
  const fy = labCurve(y / LAB_CURVE_SCALE);
  out[i] = 116 * fy - 16;
  out[i + 1] = 500 * (labCurve(x / LAB_CURVE_SCALE) - fy);
  out[i + 2] = 200 * (fy - labCurve(z / LAB_CURVE_SCALE));
}
