import type { Mask } from './raster.ts';

/** Indices of the pixels inside a mask, in the raster's order: where little is inside, going through these is much less than going through the raster. */
export function maskPixels({ data }: Pick<Mask, 'data'>): Int32Array<ArrayBuffer> {
  let pixels = new Int32Array(Math.max(1024, data.length >> 3));
  let count = 0;
  // Four pixels at a time, most of which hold nothing.
  const words = data.byteOffset % 4 === 0 ? data.length >> 2 : 0;
  const fours = new Int32Array(data.buffer, words > 0 ? data.byteOffset : 0, words);
  for (let word = 0; word < words; word += CHUNK) {
    pixels = withRoom(pixels, count, 4 * CHUNK);
    count = addFours(data, fours, word, Math.min(words, word + CHUNK), pixels, count);
  }
  pixels = withRoom(pixels, count, data.length - 4 * words);
  for (let i = 4 * words; i < data.length; i++) if (data[i] !== 0) pixels[count++] = i;
  return pixels.slice(0, count);
}

/** So many at a time: what is called often is soon compiled. */
const CHUNK = 1024;

function withRoom(pixels: Int32Array<ArrayBuffer>, count: number, more: number): Int32Array<ArrayBuffer> {
  if (count + more <= pixels.length) return pixels;
  const longer = new Int32Array(2 * pixels.length + more);
  longer.set(pixels.subarray(0, count));
  return longer;
}

function addFours(
  data: Uint8Array,
  fours: Int32Array,
  from: number,
  to: number,
  pixels: Int32Array,
  before: number,
): number {
  let count = before;
  for (let word = from; word < to; word++) {
    if (fours[word] === 0) continue;
    const i = 4 * word;
    if (data[i] !== 0) pixels[count++] = i;
    if (data[i + 1] !== 0) pixels[count++] = i + 1;
    if (data[i + 2] !== 0) pixels[count++] = i + 2;
    if (data[i + 3] !== 0) pixels[count++] = i + 3;
  }
  return count;
}
