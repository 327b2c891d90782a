/** The scan as it looks: through its calibration to sRGB, averaged down in linear light, read band by band. */
import { linearise, signalsToXyz, type CompiledCalibration } from '../../analysis/calibrate/apply.ts';
import { xyzToSrgb8Array } from '../../analysis/colour/srgbArrays.ts';
import { type BoxPx, readScan } from '../scans/readScan.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import { enlarged, newPicture, type Picture } from './picture.ts';

export interface GroundOptions {
  /** The picture's longer side is at most this. @default 2400 */
  readonly longestPx?: number;
  /** Scans whose longer side stays below this are enlarged, up to three times. @default 900 */
  readonly shortestPx?: number;
}
export const GROUND_DEFAULTS = { longestPx: 2400, shortestPx: 900 } satisfies Required<GroundOptions>;

export interface Ground {
  readonly picture: Picture;
  /** Picture pixels to a pixel of the scan: 1/2 when averaged down by two, 3 when enlarged. */
  readonly scale: number;
}

/** Pixels read at once: 4 million are 24 MB as scanned and 48 MB as signals. */
const BAND_PIXELS = 4_000_000;

export async function readGround(
  info: ScanInfo,
  dpi: number,
  calibration: CompiledCalibration,
  options: GroundOptions = {},
): Promise<Ground> {
  const used = { ...GROUND_DEFAULTS, ...options };
  const { widthPx: w, heightPx: h } = info;
  const longest = Math.max(w, h);
  const cell = Math.max(1, Math.ceil(longest / used.longestPx));
  const times = cell > 1 ? 1 : Math.max(1, Math.min(3, Math.floor(used.shortestPx / longest)));
  const picture = newPicture(Math.ceil(w / cell), Math.ceil(h / cell), 0);
  const rows = Math.max(cell, Math.floor(BAND_PIXELS / w / cell) * cell);
  for (let top = 0; top < h; top += rows) {
    const { data } = await readXyz(info, [0, top, w, Math.min(rows, h - top)], dpi, calibration);
    xyzToSrgb8Array(averaged(data, w, cell), picture.data.subarray((3 * picture.widthPx * top) / cell));
  }
  return { picture: enlarged(picture, times), scale: times / cell };
}

/** A part of the scan at full size. */
export async function readPart(
  info: ScanInfo,
  boxPx: BoxPx,
  dpi: number,
  calibration: CompiledCalibration,
): Promise<Picture> {
  const { data, widthPx, heightPx } = await readXyz(info, boxPx, dpi, calibration);
  const picture = newPicture(widthPx, heightPx, 0);
  xyzToSrgb8Array(data, picture.data);
  return picture;
}

/** Interleaved XYZ (D50). */
async function readXyz(info: ScanInfo, boxPx: BoxPx, dpi: number, calibration: CompiledCalibration) {
  const { data, widthPx, heightPx } = linearise(await readScan(info.file, boxPx, dpi, info), calibration);
  signalsToXyz(data, calibration, data);
  return { data, widthPx, heightPx };
}

/** Means over squares of `cell` pixels; at the right and lower edge over what there is. */
function averaged(xyz: Float32Array, widthPx: number, cell: number): Float32Array {
  if (cell === 1) return xyz;
  const heightPx = xyz.length / 3 / widthPx;
  const w = Math.ceil(widthPx / cell);
  const h = Math.ceil(heightPx / cell);
  const out = new Float32Array(3 * w * h);
  const sums = new Float64Array(3 * w);
  for (let row = 0; row < h; row++) {
    sums.fill(0);
    const to = Math.min(heightPx, (row + 1) * cell);
    for (let y = row * cell; y < to; y++) {
      for (let x = 0, i = 3 * y * widthPx; x < widthPx; x++, i += 3) {
        const s = 3 * Math.floor(x / cell);
        sums[s] += xyz[i];
        sums[s + 1] += xyz[i + 1];
        sums[s + 2] += xyz[i + 2];
      }
    }
    const rows = to - row * cell;
    for (let col = 0; col < w; col++) {
      const pixels = rows * (Math.min(widthPx, (col + 1) * cell) - col * cell);
      for (let c = 0; c < 3; c++) out[3 * (row * w + col) + c] = sums[3 * col + c] / pixels;
    }
  }
  return out;
}
