import { selectKth } from '../raster/select.ts';
import { squareMeans } from '../raster/squareSums.ts';

/** A region's absorbance by small squares: coarse enough to be cheap, fine enough for printed rules and dots to stand out. */
export interface DarknessMap {
  /** Mean over the channels of −ln(signal over paper) of each square; row-major. */
  readonly data: Float32Array;
  readonly width: number;
  readonly height: number;
  /** Pixels of the region along a square's side. */
  readonly step: number;
  readonly perMm: number;
}

/** Squares of about this many an inch. A rule of 0.1 mm still darkens its square by half of its depth. */
const SQUARES_PER_INCH = 200;
/** Signal over paper below which absorbance is not followed: scanners' flare and noise. */
const DARKEST = 0.02;

interface Size {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
}

/** @param ratio linear signal over the paper's, three channels interleaved */
export function darknessMap(ratio: Float32Array, size: Size): DarknessMap {
  return darknessOf(squareMeans(ratio, size, mapStep(size.dpi)), size.dpi);
}

/** Pixels along the side of a map's square. */
export function mapStep(dpi: number): number {
  return Math.max(1, Math.round(dpi / SQUARES_PER_INCH));
}

/** @param means Of the map's squares, signal over paper, three channels. @param dpi Of the region. */
export function darknessOf(
  { data: means, widthPx: width, heightPx: height }: Omit<Size, 'dpi'> & { readonly data: Float32Array },
  dpi: number,
): DarknessMap {
  const step = mapStep(dpi);
  const data = new Float32Array(width * height);
  for (let start = 0; start < data.length; start += width) writeDarkness(means, data, start, start + width);
  return { data, width, height, step, perMm: dpi / 25.4 / step };
}

function writeDarkness(means: Float32Array, out: Float32Array, from: number, to: number): void {
  for (let i = from, k = 3 * from; i < to; i++, k += 3) {
    const r = Math.max(DARKEST, means[k]);
    const g = Math.max(DARKEST, means[k + 1]);
    const b = Math.max(DARKEST, means[k + 2]);
    out[i] = -Math.log(r * g * b) / 3;
  }
}

/** Rows become columns: what looks for lines along x finds those along y. */
export function transposed({ data, width, height, step, perMm }: DarknessMap): DarknessMap {
  const out = new Float32Array(data.length);
  for (let y = 0; y < height; y++) intoColumn(data, y * width, width, out, y, height);
  return { data: out, width: height, height: width, step, perMm };
}

function intoColumn(data: Float32Array, from: number, count: number, out: Float32Array, at: number, by: number): void {
  for (let x = 0; x < count; x++) out[at + x * by] = data[from + x];
}

/** Standard deviation of bare paper in the map, from differences of neighbours two apart: steps and slopes hardly count. */
export function mapNoise(map: DarknessMap): number {
  const { data, width } = map;
  const stride = Math.max(1, Math.floor(data.length / 20_000));
  const steps = new Float32Array(Math.ceil(data.length / stride));
  let n = 0;
  for (let i = 0; i < data.length; i += CHUNK * stride) n = writeSteps(data, width, stride, i, steps, n);
  // 0.6745: the median of |x| for a normal x of standard deviation 1; a difference of two has √2 of it.
  return (n === 0 ? 0 : selectKth(steps, n, n >> 1)) / 0.6745 / Math.SQRT2 + 1e-5;
}

/** So many at a time: what is called often is soon compiled. */
const CHUNK = 512;

/** Of every so many-th square from one on. @returns how many there are then */
function writeSteps(
  data: Float32Array,
  width: number,
  stride: number,
  from: number,
  out: Float32Array,
  before: number,
): number {
  let n = before;
  for (let i = from, end = Math.min(data.length - 2, from + CHUNK * stride); i < end; i += stride) {
    if (i % width < width - 2) out[n++] = Math.abs(data[i + 2] - data[i]);
  }
  return n;
}
