/**
 * Exact Euclidean distance transform.
 * Source: Felzenszwalb & Huttenlocher (2012), Theory of Computing 8, 415–428 (lower envelope of parabolas).
 */
import type { Mask } from './raster.ts';

const FAR = 1e12;
/** Stands for FAR among squares, which are whole numbers. */
const NONE = 2 ** 31 - 1;

/**
 * For every pixel inside the mask, the distance in px from its centre to the nearest outside pixel's centre; 0 outside.
 * The edge itself lies half a pixel nearer: a pixel that touches the outside reads 1, its distance to the edge is about 0.5.
 * Beyond the raster counts as inside, so that a stroke cut by the box is not taken for a stroke that ends there.
 */
export function distanceToOutside(mask: Mask, out: Float32Array = new Float32Array(mask.data.length)): Float32Array {
  const { widthPx, heightPx, data } = mask;
  const squared = squaresIn(out);
  for (let i = 0; i < squared.length; i++) squared[i] = data[i] ? NONE : 0;
  return rootOfSquared(squared, widthPx, heightPx);
}

/** For every pixel outside the mask, the distance in px to the nearest inside pixel's centre; 0 inside. */
export function distanceToInside(mask: Mask, out: Float32Array = new Float32Array(mask.data.length)): Float32Array {
  const { widthPx, heightPx, data } = mask;
  const squared = squaresIn(out);
  for (let i = 0; i < squared.length; i++) squared[i] = data[i] ? 0 : NONE;
  return rootOfSquared(squared, widthPx, heightPx);
}

/** Whole numbers in the room that the distances will take. */
function squaresIn(out: Float32Array): Int32Array {
  return new Int32Array(out.buffer, out.byteOffset, out.length);
}

/** The distances come where the squares were. */
function rootOfSquared(squared: Int32Array, widthPx: number, heightPx: number): Float32Array {
  const longest = Math.max(widthPx, heightPx);
  const line = new Float64Array(longest);
  const result = new Float64Array(longest);
  const vertex = new Int32Array(longest);
  const border = new Float64Array(longest + 1);
  for (let x = 0; x < widthPx; x++) {
    for (let y = 0; y < heightPx; y++) line[y] = squareOf(squared[y * widthPx + x]);
    lowerEnvelope(line, heightPx, vertex, border, result);
    for (let y = 0; y < heightPx; y++) squared[y * widthPx + x] = Math.min(NONE, result[y]);
  }
  const distance = new Float32Array(squared.buffer, squared.byteOffset, squared.length);
  for (let y = 0; y < heightPx; y++) {
    const row = y * widthPx;
    for (let x = 0; x < widthPx; x++) line[x] = squareOf(squared[row + x]);
    lowerEnvelope(line, widthPx, vertex, border, result);
    for (let x = 0; x < widthPx; x++) distance[row + x] = Math.sqrt(result[x]);
  }
  return distance;
}

function squareOf(kept: number): number {
  return kept === NONE ? FAR : kept;
}

function lowerEnvelope(f: Float64Array, n: number, vertex: Int32Array, border: Float64Array, out: Float64Array): void {
  let k = 0;
  vertex[0] = 0;
  border[0] = -Infinity;
  border[1] = Infinity;
  for (let q = 1; q < n; q++) {
    let s = meeting(f, q, vertex[k]);
    while (s <= border[k]) {
      k--;
      s = meeting(f, q, vertex[k]);
    }
    k++;
    vertex[k] = q;
    border[k] = s;
    border[k + 1] = Infinity;
  }
  k = 0;
  for (let q = 0; q < n; q++) {
    while (border[k + 1] < q) k++;
    const d = q - vertex[k];
    out[q] = d * d + f[vertex[k]];
  }
}

function meeting(f: Float64Array, q: number, p: number): number {
  return (f[q] + q * q - (f[p] + p * p)) / (2 * (q - p));
}
