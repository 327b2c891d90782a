/** A calibration at work: device values → linear signals → XYZ, for one colour and for whole pages. */
import type { Xyz } from '../colour/lab.ts';
import type { DeviceRaster, LinearRaster } from '../raster/raster.ts';
import { NEW_ROOMS, type Rooms } from '../raster/rooms.ts';
import type { Calibration } from './calibration.ts';
import { cubeRoot } from './cubeRoot.ts';
import { gainRow } from './flatField.ts';
import { targetHull, type TargetHull } from './targetHull.ts';
import { termCount, writeTerms } from './models.ts';
import { curveTables } from './toneCurve.ts';

export interface CompiledCalibration {
  readonly calibration: Calibration;
  /** Device value → linear signal, per channel. */
  readonly tables8: readonly [Float32Array, Float32Array, Float32Array];
  readonly tables16: readonly [Float32Array, Float32Array, Float32Array];
  /** 3 rows of the model's terms, one after the other. */
  readonly matrix: Float64Array;
  /** The target's own colours as a body in signal space; null when there was no target. */
  readonly hull: TargetHull | null;
}

/** Tables and functions that a calibration is applied by, made when they are first asked for. */
export function compileCalibration(calibration: Calibration): CompiledCalibration {
  // Each when it is first asked for: the longer one takes 40 ms, and who only tells how sure a colour is needs neither.
  let eight: CompiledCalibration['tables8'] | undefined;
  let sixteen: CompiledCalibration['tables16'] | undefined;
  return {
    calibration,
    get tables8() {
      return (eight ??= curveTables(calibration.curves, 8));
    },
    get tables16() {
      return (sixteen ??= curveTables(calibration.curves, 16));
    },
    matrix: Float64Array.from(calibration.matrix.flat()),
    hull: calibration.signals.length > 3 ? targetHull(calibration.signals) : null,
  };
}

/** Where linear signals are written: three a pixel and one a pixel long, whatever was in it before. */
export interface LinearRoom {
  readonly data: Float32Array;
  readonly clipped: Uint8Array;
}

/** Where `linearise` may write, for so many pixels. */
export function linearRoom(pixels: number, rooms: Rooms = NEW_ROOMS): LinearRoom {
  return { data: rooms.floats(3 * pixels), clipped: rooms.bytes(pixels) };
}

/** Curves, then the light's unevenness taken out by place on the bed; pixels with a channel at an end are marked. */
export function linearise(
  raster: DeviceRaster,
  c: CompiledCalibration,
  room: LinearRoom = linearRoom(raster.widthPx * raster.heightPx),
): LinearRaster {
  const { data, widthPx, heightPx, bits, dpi, originPx } = raster;
  const tables = bits === 8 ? c.tables8 : c.tables16;
  const top = bits === 8 ? 255 : 65535;
  const { data: out, clipped } = room;
  const field = c.calibration.flatField;
  const gain = new Float64Array(field === null ? 0 : 3 * widthPx);
  const pxMm = 25.4 / dpi;
  for (let y = 0; y < heightPx; y++) {
    const from = 3 * y * widthPx;
    const to = from + 3 * widthPx;
    throughTables(data, from, to, tables, top, out, clipped);
    if (field === null) continue;
    gainRow(field, [(originPx[0] + 0.5) * pxMm, (originPx[1] + y + 0.5) * pxMm], pxMm, widthPx, gain);
    for (let i = from, j = 0; i < to; i++, j++) out[i] *= gain[j];
  }
  return { data: out, widthPx, heightPx, dpi, originPx, clipped };
}

/** One row; a function of its own so that it is compiled after a few of them. */
function throughTables(
  data: DeviceRaster['data'],
  from: number,
  to: number,
  [red, green, blue]: CompiledCalibration['tables8'],
  top: number,
  out: Float32Array,
  clipped: Uint8Array,
): void {
  const last = top - 1;
  for (let i = from, px = from / 3; i < to; i += 3, px++) {
    const r = data[i];
    const g = data[i + 1];
    const b = data[i + 2];
    out[i] = red[r];
    out[i + 1] = green[g];
    out[i + 2] = blue[b];
    // 1 where a channel is 0 or at the top: one of these is below 0.
    clipped[px] = ((r - 1) | (g - 1) | (b - 1) | (last - r) | (last - g) | (last - b)) >>> 31;
  }
}

/** One linear signal → XYZ under D50, Y = 1 for the perfect diffuser. */
export function signalToXyz(signal: readonly [number, number, number], c: CompiledCalibration): Xyz {
  const { model } = c.calibration;
  const n = termCount(model);
  const terms: number[] = [];
  writeTerms(model, signal[0], signal[1], signal[2], terms);
  const xyz: [number, number, number] = [0, 0, 0];
  for (let row = 0; row < 3; row++) {
    for (let i = 0; i < n; i++) xyz[row] += c.matrix[row * n + i] * terms[i];
  }
  return xyz;
}

/**
 * Interleaved linear signals → interleaved XYZ. `out` may be `signals` itself. Agrees with signalToXyz within 1e-6.
 * One loop a model with its coefficients in local numbers: nothing is allocated or looked up per pixel.
 */
export function signalsToXyz(signals: Float32Array, c: CompiledCalibration, out: Float32Array): void {
  switch (c.calibration.model) {
    case 'nominal':
    case 'linear':
      return linearLoop(signals, c.matrix, 3, out);
    case 'affine':
      return linearLoop(signals, c.matrix, 4, out);
    case 'rootPolynomial2':
      return root2Loop(signals, c.matrix, out);
    case 'rootPolynomial3':
      return root3Loop(signals, c.matrix, out);
  }
}

/** Whether a colour lies among the target's own colours (targetHull.ts states the margin); true without a target, which has its own flag. */
export function insideTargetGamut(signal: readonly [number, number, number], c: CompiledCalibration): boolean {
  return c.hull === null || c.hull.holds(signal);
}

function linearLoop(signals: Float32Array, m: Float64Array, n: 3 | 4, out: Float32Array): void {
  const [x0, x1, x2] = m;
  const x3 = n === 4 ? m[3] : 0;
  const [y0, y1, y2] = [m[n], m[n + 1], m[n + 2]];
  const y3 = n === 4 ? m[7] : 0;
  const [z0, z1, z2] = [m[2 * n], m[2 * n + 1], m[2 * n + 2]];
  const z3 = n === 4 ? m[11] : 0;
  for (let i = 0; i < signals.length; i += 3) {
    const r = signals[i];
    const g = signals[i + 1];
    const b = signals[i + 2];
    out[i] = x0 * r + x1 * g + x2 * b + x3;
    out[i + 1] = y0 * r + y1 * g + y2 * b + y3;
    out[i + 2] = z0 * r + z1 * g + z2 * b + z3;
  }
}

function root2Loop(signals: Float32Array, m: Float64Array, out: Float32Array): void {
  const [x0, x1, x2, x3, x4, x5, y0, y1, y2, y3, y4, y5, z0, z1, z2, z3, z4, z5] = m;
  for (let i = 0; i < signals.length; i += 3) {
    const r = signals[i];
    const g = signals[i + 1];
    const b = signals[i + 2];
    const rr = r > 0 ? Math.sqrt(r) : 0;
    const gg = g > 0 ? Math.sqrt(g) : 0;
    const bb = b > 0 ? Math.sqrt(b) : 0;
    const rg = rr * gg;
    const gb = gg * bb;
    const rb = rr * bb;
    out[i] = x0 * r + x1 * g + x2 * b + x3 * rg + x4 * gb + x5 * rb;
    out[i + 1] = y0 * r + y1 * g + y2 * b + y3 * rg + y4 * gb + y5 * rb;
    out[i + 2] = z0 * r + z1 * g + z2 * b + z3 * rg + z4 * gb + z5 * rb;
  }
}

function root3Loop(signals: Float32Array, m: Float64Array, out: Float32Array): void {
  const t = new Float64Array(13);
  for (let i = 0; i < signals.length; i += 3) {
    const r = signals[i];
    const g = signals[i + 1];
    const b = signals[i + 2];
    const rPos = r > 0 ? r : 0;
    const gPos = g > 0 ? g : 0;
    const bPos = b > 0 ? b : 0;
    const r2 = Math.sqrt(rPos);
    const g2 = Math.sqrt(gPos);
    const b2 = Math.sqrt(bPos);
    const r3 = cubeRoot(rPos);
    const g3 = cubeRoot(gPos);
    const b3 = cubeRoot(bPos);
    t[0] = r;
    t[1] = g;
    t[2] = b;
    t[3] = r2 * g2;
    t[4] = g2 * b2;
    t[5] = r2 * b2;
    t[6] = r3 * g3 * g3;
    t[7] = g3 * b3 * b3;
    t[8] = r3 * b3 * b3;
    t[9] = g3 * r3 * r3;
    t[10] = b3 * g3 * g3;
    t[11] = b3 * r3 * r3;
    t[12] = r3 * g3 * b3;
    let x = 0;
    let y = 0;
    let z = 0;
    for (let k = 0; k < 13; k++) {
      const term = t[k];
      x += m[k] * term;
      y += m[13 + k] * term;
      z += m[26 + k] * term;
    }
    out[i] = x;
    out[i + 1] = y;
    out[i + 2] = z;
  }
}
