/** A raster at another size: each pixel of the new one is the mean of the old over the area that it covers. */

export interface AreaGrid {
  /** Where the first new pixel begins, in pixels of the old raster. */
  readonly left: number;
  readonly top: number;
  /** Size of a new pixel, in pixels of the old raster. */
  readonly stepX: number;
  readonly stepY: number;
  readonly columns: number;
  readonly rows: number;
}

/** Interleaved triples in linear light. @param out 3 · columns · rows */
export function areaMeans(
  data: Float32Array,
  widthPx: number,
  heightPx: number,
  grid: AreaGrid,
  out: Float32Array,
): void {
  const across = spans(grid.left, grid.stepX, grid.columns, widthPx);
  const down = spans(grid.top, grid.stepY, grid.rows, heightPx);
  for (let row = 0, o = 0; row < grid.rows; row++) {
    const [y0, y1] = [down.first[row], down.last[row]];
    for (let column = 0; column < grid.columns; column++, o += 3) {
      const x0 = across.first[column];
      const x1 = across.last[column];
      let r = 0;
      let g = 0;
      let b = 0;
      let total = 0;
      for (let y = y0; y <= y1; y++) {
        const high = y === y0 ? down.firstShare[row] : y === y1 ? down.lastShare[row] : 1;
        for (let x = x0, i = 3 * (y * widthPx + x0); x <= x1; x++, i += 3) {
          const share = high * (x === x0 ? across.firstShare[column] : x === x1 ? across.lastShare[column] : 1);
          r += share * data[i];
          g += share * data[i + 1];
          b += share * data[i + 2];
          total += share;
        }
      }
      out[o] = r / total;
      out[o + 1] = g / total;
      out[o + 2] = b / total;
    }
  }
}

/** Which old pixels each new one covers, and how much of the first and the last. */
function spans(from: number, step: number, count: number, length: number) {
  const first = new Int32Array(count);
  const last = new Int32Array(count);
  const firstShare = new Float64Array(count);
  const lastShare = new Float64Array(count);
  for (let n = 0; n < count; n++) {
    const begin = Math.max(0, from + n * step);
    const end = Math.min(length, from + (n + 1) * step);
    first[n] = Math.min(length - 1, Math.floor(begin + TINY));
    last[n] = Math.max(first[n], Math.ceil(end - TINY) - 1);
    firstShare[n] = first[n] === last[n] ? 1 : first[n] + 1 - begin;
    lastShare[n] = end - last[n];
  }
  return { first, last, firstShare, lastShare };
}

/** A share of a pixel that rounding makes, not the grid. */
const TINY = 1e-6;
