/** The largest value about each pixel where a pixel more or less of its neighbourhood does not matter: by small squares. */
import { maximumFilter } from './maximumFilter.ts';

export interface CoarseMaximum {
  /** About pixel (x, y): data[(y >> shift) * width + (x >> shift)]. */
  readonly data: Float32Array;
  readonly width: number;
  readonly shift: number;
}

/** Squares are so much smaller than the reach that its size is kept within a tenth. */
const SQUARES_IN_REACH = 5;

/** @param reachPx The neighbourhood reaches so far from its pixel, up to a square's side more or less. */
export function coarseMaximum(data: Float32Array, w: number, h: number, reachPx: number): CoarseMaximum {
  const shift = Math.max(0, Math.floor(Math.log2(reachPx / SQUARES_IN_REACH)));
  const radius = Math.round(reachPx / (1 << shift));
  if (shift === 0) return { data: maximumFilter(data, w, h, radius), width: w, shift };
  const width = ((w - 1) >> shift) + 1;
  const height = ((h - 1) >> shift) + 1;
  const squares = new Float32Array(width * height).fill(-Infinity);
  for (let y = 0; y < h; y++) {
    const row = (y >> shift) * width;
    for (let x = 0, i = y * w; x < w; x++, i++) {
      const square = row + (x >> shift);
      if (data[i] > squares[square]) squares[square] = data[i];
    }
  }
  return { data: maximumFilter(squares, width, height, radius), width, shift };
}
