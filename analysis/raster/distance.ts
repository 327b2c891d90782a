/**
 * Exact Euclidean distance transform: down the columns by counting, along each row by the lower envelope of parabolas.
 * Source: Felzenszwalb & Huttenlocher (2012), Theory of Computing 8, 415–428.
 */
import type { Mask } from './raster.ts';

/** Rows further than any raster is high: nothing in this column. */
const NONE = 1 << 29;
/** Stands for the square of that. */
const FAR = 1e12;

/**
 * For every pixel inside the mask, the distance in px from its centre to the nearest outside pixel's centre; 0 outside.
 * The edge itself lies half a pixel nearer: a pixel that touches the outside reads 1, its distance to the edge is about 0.5.
 * Beyond the raster counts as inside, so that a stroke cut by the box is not taken for a stroke that ends there.
 */
export function distanceToOutside(mask: Mask, out: Float32Array = new Float32Array(mask.data.length)): Float32Array {
  return distanceTo(0, mask, out);
}

/** For every pixel outside the mask, the distance in px to the nearest inside pixel's centre; 0 inside. */
export function distanceToInside(mask: Mask, out: Float32Array = new Float32Array(mask.data.length)): Float32Array {
  return distanceTo(1, mask, out);
}

function distanceTo(kind: 0 | 1, { widthPx: w, heightPx: h, data }: Mask, out: Float32Array): Float32Array {
  const rows = rowsAway(kind, data, w, h, new Int32Array(out.buffer, out.byteOffset, out.length));
  const vertex = new Int32Array(w + 2);
  const height = new Float64Array(w + 2);
  const border = new Float64Array(w + 3);
  for (let start = 0; start < w * h; start += w) {
    for (let x = 0; x < w; x++) {
      if (rows[start + x] === 0) continue;
      const first = x;
      while (x < w && rows[start + x] !== 0) x++;
      // Pixels of the other kind at both ends of a run are nearer than all that lie beyond them.
      rowOfRun(rows, out, start, first, x - 1, w, vertex, height, border);
    }
  }
  return out;
}

/** For every pixel how many rows away the nearest of this kind lies in its own column. */
function rowsAway(kind: 0 | 1, data: Uint8Array, w: number, h: number, rows: Int32Array): Int32Array {
  for (let x = 0; x < w; x++) rows[x] = data[x] === kind ? 0 : NONE;
  for (let i = w; i < w * h; i++) rows[i] = data[i] === kind ? 0 : rows[i - w] + 1;
  for (let i = w * (h - 1) - 1; i >= 0; i--) {
    const below = rows[i + w] + 1;
    if (below < rows[i]) rows[i] = below;
  }
  return rows;
}

/** Distances of the pixels from `first` to `last`, into the room where their rows were. */
function rowOfRun(
  rows: Int32Array,
  out: Float32Array,
  start: number,
  first: number,
  last: number,
  w: number,
  vertex: Int32Array,
  height: Float64Array,
  border: Float64Array,
): void {
  let k = -1;
  const to = Math.min(w - 1, last + 1);
  for (let q = Math.max(0, first - 1); q <= to; q++) {
    const r = rows[start + q];
    if (r >= NONE) continue;
    const f = r * r;
    let s = -Infinity;
    while (k >= 0) {
      const p = vertex[k];
      s = (f + q * q - (height[k] + p * p)) / (2 * (q - p));
      if (s > border[k]) break;
      k--;
      s = -Infinity;
    }
    k++;
    vertex[k] = q;
    height[k] = f;
    border[k] = s;
  }
  const count = k + 1;
  border[count] = Infinity;
  k = 0;
  for (let q = first; q <= last; q++) {
    if (count === 0) {
      out[start + q] = Math.sqrt(FAR);
      continue;
    }
    while (border[k + 1] < q) k++;
    const d = q - vertex[k];
    out[start + q] = Math.sqrt(d * d + height[k]);
  }
}
