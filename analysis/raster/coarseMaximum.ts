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
  for (let y = 0; y < h; y++) intoSquares(data, y * w, w, 1 << shift, squares, (y >> shift) * width);
  return { data: maximumFilter(squares, width, height, radius), width, shift };
}

/** One row of pixels into its row of squares; a function of its own so that it is compiled after a few of them. */
function intoSquares(
  data: Float32Array,
  from: number,
  w: number,
  side: number,
  squares: Float32Array,
  at: number,
): void {
  let square = at;
  for (let i = from, end = from + w; i < end; square++) {
    let most = squares[square];
    for (const to = i + side < end ? i + side : end; i < to; i++) if (data[i] > most) most = data[i];
    squares[square] = most;
  }
}
