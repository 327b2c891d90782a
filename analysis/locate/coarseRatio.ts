/**
 * A region's signal over its paper by squares of some 300 an inch: finer scans hold no more of where ink is, only of where it ends, and have many
 * times the pixels.
 */
import { squareMeans } from '../raster/squareSums.ts';

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

interface Size {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
}

/** Pixels along a square's side. */
export function coarseStep({ widthPx, heightPx, dpi }: Size): number {
  return Math.max(1, Math.min(Math.floor(dpi / SQUARES_PER_INCH), widthPx, heightPx));
}

/** @param ratio Signal over paper, interleaved, of `size`; up to 300 dpi it comes back as it is */
export function coarseRatio(ratio: Float32Array, size: Size): CoarseRatio {
  const { widthPx, heightPx, dpi } = size;
  const step = coarseStep(size);
  if (step === 1) return { data: ratio, widthPx, heightPx, dpi, step };
  return { ...squareMeans(ratio, size, step), dpi: dpi / step, step };
}
