/** The largest value about each pixel, 0 at least, where a pixel more or less of its neighbourhood does not matter: by small squares. */
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
  const squares = new Float32Array(width * height);
  const most = new Int32Array(squares.buffer);
  const bits = new Int32Array(data.buffer, data.byteOffset, data.length);
  for (let y = 0; y < h; y++) intoSquares(bits, y * w, w, 1 << shift, most, (y >> shift) * width);
  return { data: maximumFilter(squares, width, height, radius), width, shift };
}

/** Bits of one row of numbers into its row of squares, compared as in maximumFilter.ts; what is below 0 counts as 0. */
function intoSquares(bits: Int32Array, from: number, w: number, side: number, squares: Int32Array, at: number): void {
  let square = at;
  for (let i = from, end = from + w; i < end; square++) {
    let most = squares[square];
    for (const to = i + side < end ? i + side : end; i < to; i++) {
      const less = (most - (bits[i] & ~(bits[i] >> 31))) | 0;
      most -= less & (less >> 31);
    }
    squares[square] = most;
  }
}
