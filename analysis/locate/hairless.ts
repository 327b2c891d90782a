/** Strokes without the hairs of a feathered edge, which a skeleton would take for strokes of their own. */
import type { Mask } from '../raster/raster.ts';
import { NEW_ROOMS, type Rooms } from '../raster/rooms.ts';
import { selectKth } from '../raster/select.ts';

/** Hairs are thinner than twice this, mm; the finest nibs' lines are not. */
const HAIR_RADIUS_MM = 0.085;
/** … and no stroke is thinned out of being: of the depth that half of all ink exceeds. */
const SHARE_OF_DEPTH = 0.65;
/** Below this depth lines are so fine that opened they lose the middles that their colour is read along. */
const FINE_DEPTH_PX = 2;

/**
 * The mask opened by a small disc. @param pixels The mask's. @param depthPx Distance of each ink pixel to the outside (raster/distance.ts).
 */
export function withoutHairs(
  mask: Mask,
  pixels: Int32Array,
  depthPx: Float32Array,
  pxPerMm: number,
  rooms: Rooms = NEW_ROOMS,
): { readonly opened: Mask; readonly fine: boolean } {
  const depth = medianDepth(pixels, depthPx);
  const fine = depth < FINE_DEPTH_PX;
  const radius = Math.min(HAIR_RADIUS_MM * pxPerMm, SHARE_OF_DEPTH * depth);
  if (radius < 0.9) return { opened: mask, fine };
  const { widthPx: w, heightPx: h } = mask;
  const data = rooms.zeroBytes(w * h);
  const deep = radius + 0.5;
  for (let from = 0; from < pixels.length; from += CHUNK) {
    keepDeep(pixels, from, Math.min(pixels.length, from + CHUNK), depthPx, deep, data);
  }
  const disc = discOf(radius);
  const rim = rimOf(data, pixels, w, h);
  for (let from = 0; from < rim.length; from += CHUNK) {
    drawDiscs(rim, from, Math.min(rim.length, from + CHUNK), disc, data, w, h);
  }
  return { opened: { data, widthPx: w, heightPx: h }, fine };
}

/** So many at a time: what is called often is soon compiled. */
const CHUNK = 512;

function keepDeep(
  pixels: Int32Array,
  from: number,
  to: number,
  depthPx: Float32Array,
  deep: number,
  data: Uint8Array,
): void {
  for (let k = from; k < to; k++) if (depthPx[pixels[k]] >= deep) data[pixels[k]] = 1;
}

/** Pixels of `data` beside one that is not. Beyond the raster counts as inside, as it does for the distance itself. */
function rimOf(data: Uint8Array, pixels: Int32Array, w: number, h: number): Int32Array {
  const rim = new Int32Array(pixels.length);
  let count = 0;
  for (let from = 0; from < pixels.length; from += CHUNK) count = addRim(data, pixels, from, w, h, rim, count);
  return rim.subarray(0, count);
}

/** @returns how many there are then */
function addRim(
  data: Uint8Array,
  pixels: Int32Array,
  from: number,
  w: number,
  h: number,
  rim: Int32Array,
  before: number,
): number {
  let count = before;
  const last = w * (h - 1);
  for (let k = from, end = Math.min(pixels.length, from + CHUNK); k < end; k++) {
    const i = pixels[k];
    if (data[i] === 0) continue;
    const isInside =
      (data[i - 1] === 1 || i % w === 0) &&
      (data[i + 1] === 1 || i % w === w - 1) &&
      (i < w || data[i - w] === 1) &&
      (i >= last || data[i + w] === 1);
    if (!isInside) rim[count++] = i;
  }
  return count;
}

/** Half of a disc's breadth in each of its rows, from the topmost on. */
function discOf(radius: number): Int32Array {
  const reach = Math.floor(radius);
  return Int32Array.from({ length: 2 * reach + 1 }, (_, k) => Math.floor(Math.sqrt(radius ** 2 - (k - reach) ** 2)));
}

function drawDiscs(
  middles: Int32Array,
  from: number,
  to: number,
  disc: Int32Array,
  data: Uint8Array,
  w: number,
  h: number,
): void {
  const reach = disc.length >> 1;
  for (let k = from; k < to; k++) {
    const x = middles[k] % w;
    const y = (middles[k] - x) / w;
    for (let v = y > reach ? -reach : -y; v <= reach && y + v < h; v++) {
      const half = disc[v + reach];
      const row = (y + v) * w;
      const end = row + (x + half < w ? x + half : w - 1);
      for (let i = row + (x > half ? x - half : 0); i <= end; i++) data[i] = 1;
    }
  }
}

/** Of some ten thousand pixels of ink. */
function medianDepth(pixels: Int32Array, depthPx: Float32Array): number {
  const stride = Math.max(1, Math.floor(pixels.length / 20_000));
  const some = new Float32Array(Math.ceil(pixels.length / stride));
  for (let k = 0; k < some.length; k++) some[k] = depthPx[pixels[k * stride]];
  return some.length === 0 ? 0 : selectKth(some, some.length, some.length >> 1);
}
