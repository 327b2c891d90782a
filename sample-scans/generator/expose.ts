/** From a scene to a scan: blur, uneven light, stray light, noise, tone curve, converter. */
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { QUANTILES } from './random.ts';
import type { Random } from './random.ts';
import { lightAcross, lightAlong, toneValue } from './scanner.ts';
import type { Scanner, ToneLaw } from './scanner.ts';
import type { Scene } from './scene.ts';

const BAND_ROWS = 96;
const CURVE_STEPS = 32768;
const CURVE_FROM = -0.02;
const CURVE_TO = 1.4;

export interface Exposure {
  readonly dpi: number;
  readonly bits: 8 | 16;
  /** What the converter resolves, 8–16; delivered in 16 bits by repeating its top bits, so that full scale stays full scale. */
  readonly converterBits: number;
}

export function expose(scene: Scene, scanner: Scanner, exposure: Exposure, random: Random): DeviceRaster {
  const pxPerMm = exposure.dpi / 25.4;
  const widthPx = Math.round(scene.widthMm * pxPerMm);
  const heightPx = Math.round(scene.heightMm * pxPerMm);
  const kernel = gaussian(scanner.blurSdMm * pxPerMm);
  const reach = kernel.length - 1;
  const device = new (exposure.bits === 16 ? Uint16Array : Uint8Array)(3 * widthPx * heightPx);
  const topCode = 2 ** exposure.converterBits - 1;
  const curves = scanner.tone.map((law) => codeCurve(law, topCode));
  const across = ([0, 1, 2] as const).map((c) =>
    Float32Array.from({ length: widthPx }, (_, x) => 1 + lightAcross(scanner.light, c, (x + 0.5) / pxPerMm)),
  );
  const stride = 3 * widthPx;
  const row = new Float32Array(stride);
  for (let top = 0; top < heightPx; top += BAND_ROWS) {
    const rows = Math.min(BAND_ROWS, heightPx - top);
    const data = new Float32Array(stride * (rows + 2 * reach));
    scene.paint({ data, widthPx, firstRow: top - reach, rows: rows + 2 * reach, pxPerMm });
    blurRows(data, widthPx, kernel);
    for (let y = 0; y < rows; y++) {
      blurColumn(data, stride, y + reach, kernel, row);
      const along = lightAlong(scanner.light, (top + y + 0.5) / pxPerMm);
      convertRow(row, device, (top + y) * stride, { scanner, curves, across, along, exposure, random });
    }
  }
  return { data: device, widthPx, heightPx, bits: exposure.bits, dpi: exposure.dpi, originPx: [0, 0] };
}

interface Conversion {
  readonly scanner: Scanner;
  readonly curves: readonly Float32Array[];
  readonly across: readonly Float32Array[];
  readonly along: number;
  readonly exposure: Exposure;
  readonly random: Random;
}

function convertRow(row: Float32Array, out: Uint16Array | Uint8Array, start: number, how: Conversion): void {
  const { scanner, along, random } = how;
  const photon2 = scanner.photonNoise ** 2;
  const read2 = scanner.readNoise ** 2;
  const { bits: depth, converterBits } = how.exposure;
  const topCode = 2 ** converterBits - 1;
  const wide = depth === 16;
  const up = 16 - converterBits;
  const down = wide ? 2 * converterBits - 16 : converterBits - 8;
  const scale = CURVE_STEPS / (CURVE_TO - CURVE_FROM);
  const last = CURVE_STEPS - 1.001;
  for (let c = 0; c < 3; c++) {
    const codes = how.curves[c];
    const across = how.across[c];
    const flare = scanner.flare[c];
    let bits = 0;
    for (let i = c, x = 0; i < row.length; i += 3, x++) {
      const light = (row[i] * (across[x] + along) + flare) / (1 + flare);
      if ((x & 1) === 0) bits = random.uint32();
      const deviate = QUANTILES[(x & 1) === 0 ? bits & 0xffff : bits >>> 16];
      const seen = light + deviate * Math.sqrt(read2 + photon2 * (light > 0 ? light : 0));
      let at = (seen - CURVE_FROM) * scale;
      if (at < 0) at = 0;
      else if (at > last) at = last;
      const cell = at | 0;
      // Below the black the converter gives 0, above the white its top code.
      let code = (codes[cell] + (codes[cell + 1] - codes[cell]) * (at - cell) + 0.5) | 0;
      if (code < 0) code = 0;
      else if (code > topCode) code = topCode;
      out[start + i] = wide ? (code << up) | (code >> down) : code >> down;
    }
  }
}

/** Converter codes (not yet rounded) at equal steps of linear signal. */
function codeCurve(law: ToneLaw, topCode: number): Float32Array {
  const step = (CURVE_TO - CURVE_FROM) / CURVE_STEPS;
  return Float32Array.from({ length: CURVE_STEPS + 1 }, (_, i) => topCode * toneValue(law, CURVE_FROM + i * step));
}

/** Half of a Gaussian, middle first, whole sum 1. */
export function gaussian(sdPx: number): Float32Array {
  const reach = Math.max(1, Math.ceil(3.5 * sdPx));
  const half = Float32Array.from({ length: reach + 1 }, (_, i) => Math.exp(-0.5 * (i / sdPx) ** 2));
  const sum = half.reduce((total, v, i) => total + (i === 0 ? v : 2 * v), 0);
  return half.map((v) => v / sum);
}

function blurRows(data: Float32Array, widthPx: number, kernel: Float32Array): void {
  const stride = 3 * widthPx;
  const pad = 3 * (kernel.length - 1);
  const padded = new Float32Array(stride + 2 * pad);
  for (let start = 0; start < data.length; start += stride) {
    padded.set(data.subarray(start, start + stride), pad);
    for (let i = 0; i < pad; i += 3) {
      for (let c = 0; c < 3; c++) {
        padded[i + c] = data[start + c];
        padded[pad + stride + i + c] = data[start + stride - 3 + c];
      }
    }
    for (let i = 0; i < stride; i++) {
      let sum = kernel[0] * padded[i + pad];
      for (let k = 1; k < kernel.length; k++) sum += kernel[k] * (padded[i + pad - 3 * k] + padded[i + pad + 3 * k]);
      data[start + i] = sum;
    }
  }
}

function blurColumn(data: Float32Array, stride: number, y: number, kernel: Float32Array, out: Float32Array): void {
  const at = y * stride;
  for (let i = 0; i < stride; i++) out[i] = kernel[0] * data[at + i];
  for (let k = 1; k < kernel.length; k++) {
    const w = kernel[k];
    const above = at - k * stride;
    const below = at + k * stride;
    for (let i = 0; i < stride; i++) out[i] += w * (data[above + i] + data[below + i]);
  }
}
