/**
 * A region's signal over its paper by squares of some 300 an inch: finer scans hold no more of where ink is, only of where it ends, and have many
 * times the pixels.
 */
import { addSquares } from '../raster/squareSums.ts';

export interface CoarseRatio {
  /** Mean of each square, three channels; of a scan that is no finer the ratio itself. */
  readonly data: Float32Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Squares an inch. */
  readonly dpi: number;
  /** Pixels along a square's side; the last ones of a row or column are wider where it does not go in. */
  readonly step: number;
}

const SQUARES_PER_INCH = 300;

export function coarseRatio(
  ratio: Float32Array,
  { widthPx, heightPx, dpi }: { readonly widthPx: number; readonly heightPx: number; readonly dpi: number },
): CoarseRatio {
  const step = Math.max(1, Math.min(Math.floor(dpi / SQUARES_PER_INCH), widthPx, heightPx));
  if (step === 1) return { data: ratio, widthPx, heightPx, dpi, step };
  const width = Math.floor(widthPx / step);
  const height = Math.floor(heightPx / step);
  const data = new Float32Array(3 * width * height);
  const sums = new Float64Array(3 * width);
  for (let y = 0; y < height; y++) {
    sums.fill(0);
    for (let v = 0; v < step; v++) addSquares(ratio, 3 * (y * step + v) * widthPx, step, sums);
    writeMeans(sums, 1 / (step * step), data, 3 * y * width);
  }
  return { data, widthPx: width, heightPx: height, dpi: dpi / step, step };
}

function writeMeans(sums: Float64Array, share: number, out: Float32Array, at: number): void {
  for (let k = 0; k < sums.length; k++) out[at + k] = share * sums[k];
}
