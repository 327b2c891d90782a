/**
 * One-pixel-wide skeleton of a mask, 32 pixels at a time.
 * Source: Guo & Hall (1989), Comm. ACM 32(3), 359–373 (parallel thinning, two sub-iterations, 8-connected).
 */
import { maskPixels } from './maskPixels.ts';
import type { Mask } from './raster.ts';
import { NEW_ROOMS, type Rooms } from './rooms.ts';

export interface Skeleton extends Mask {
  /** Its pixels' indices, in the raster's order. */
  readonly pixels: Int32Array;
}

/** Pixels at the border count as if nothing lay beyond it. */
export function thin(mask: Mask, rooms: Rooms = NEW_ROOMS): Skeleton {
  const { widthPx: w, heightPx: h } = mask;
  // Bits of a row from left to right, with an empty word at its ends and an empty row above and below.
  const across = Math.ceil(w / 32) + 2;
  const words = new Int32Array(across * (h + 2));
  const pixels = maskPixels(mask);
  for (let from = 0; from < pixels.length; from += CHUNK) pack(pixels, from, words, across, w, h);
  const list = inked(words);
  // Words of which something falls, and what.
  const hit = new Int32Array(list.length);
  const doomed = new Int32Array(list.length);
  // When the neighbourhood of a word changed last: where it did in neither of the last two sub-iterations, nothing falls in the next.
  const stamps = new Int16Array(words.length);
  for (let when = 0, idle = 0; idle < 2; when++) {
    let hits = 0;
    for (let from = 0; from < list.length; from += CHUNK) {
      hits = findDoomed(words, list, from, across, stamps, when, hit, doomed, hits);
    }
    for (let from = 0; from < hits; from += CHUNK) {
      drop(words, hit, doomed, from, Math.min(hits, from + CHUNK), across, stamps, when);
    }
    idle = hits > 0 ? 0 : idle + 1;
  }
  return unpack(words, across, w, h, rooms);
}

/** So many words at a time: what is called often is soon compiled. */
const CHUNK = 512;

/** The outermost ring has no full neighbourhood; ink there is cut by the box and is not part of the skeleton. */
function pack(pixels: Int32Array, from: number, words: Int32Array, across: number, w: number, h: number): void {
  const last = w * (h - 1);
  const y = Math.floor(pixels[from] / w);
  let start = y * w;
  let row = (y + 1) * across + 1;
  for (let k = from, end = Math.min(pixels.length, from + CHUNK); k < end; k++) {
    const i = pixels[k];
    while (i >= start + w) {
      start += w;
      row += across;
    }
    const x = i - start;
    if (x === 0 || x === w - 1 || start === 0 || start === last) continue;
    words[row + (x >> 5)] |= 1 << (x & 31);
  }
}

function inked(words: Int32Array): Int32Array {
  const list = new Int32Array(words.length);
  let count = 0;
  for (let from = 0; from < words.length; from += CHUNK) count = addInked(words, from, list, count);
  return list.slice(0, count);
}

function addInked(words: Int32Array, from: number, list: Int32Array, before: number): number {
  let count = before;
  for (let i = from, end = Math.min(words.length, from + CHUNK); i < end; i++) if (words[i] !== 0) list[count++] = i;
  return count;
}

/**
 * The pixels of some words that can go: P2 … P9 are their neighbours, from the one above on clockwise. Sums of four are told by whether
 * there is one, two or four of them. @returns how many words are hit then
 */
function findDoomed(
  words: Int32Array,
  list: Int32Array,
  from: number,
  across: number,
  stamps: Int16Array,
  when: number,
  hit: Int32Array,
  doomed: Int32Array,
  before: number,
): number {
  const even = (when & 1) === 0;
  let hits = before;
  for (let k = from, end = Math.min(list.length, from + CHUNK); k < end; k++) {
    const i = list[k];
    const own = words[i];
    if (own === 0 || stamps[i] < when - 2) continue;
    const p2 = words[i - across];
    const p6 = words[i + across];
    const p4 = (own >>> 1) | (words[i + 1] << 31);
    const p8 = (own << 1) | (words[i - 1] >>> 31);
    const p3 = (p2 >>> 1) | (words[i - across + 1] << 31);
    const p9 = (p2 << 1) | (words[i - across - 1] >>> 31);
    const p5 = (p6 >>> 1) | (words[i + across + 1] << 31);
    const p7 = (p6 << 1) | (words[i + across - 1] >>> 31);
    // C = 1: one arm only.
    const a = ~p2 & (p3 | p4);
    const b = ~p4 & (p5 | p6);
    const c = ~p6 & (p7 | p8);
    const d = ~p8 & (p9 | p2);
    const one = (a ^ b ^ c ^ d) & ~((a & b) | (c & d));
    // 2 <= min(N1, N2) <= 3.
    const e = p9 | p2;
    const f = p3 | p4;
    const g = p5 | p6;
    const j = p7 | p8;
    const l = p2 | p3;
    const m = p4 | p5;
    const n = p6 | p7;
    const o = p8 | p9;
    const two = ((e & f) | (g & j) | ((e | f) & (g | j))) & ((l & m) | (n & o) | ((l | m) & (n | o)));
    const four = e & f & g & j & l & m & n & o;
    const open = even ? ~((p6 | p7 | ~p9) & p8) : ~((p2 | p3 | ~p5) & p4);
    const gone = own & one & two & ~four & open;
    if (gone === 0) continue;
    hit[hits] = i;
    doomed[hits++] = gone;
  }
  return hits;
}

/** Takes them out of their words, and notes when a word's neighbourhood changed last. */
function drop(
  words: Int32Array,
  hit: Int32Array,
  doomed: Int32Array,
  from: number,
  to: number,
  across: number,
  stamps: Int16Array,
  when: number,
): void {
  for (let k = from; k < to; k++) {
    const gone = doomed[k];
    const i = hit[k];
    words[i] &= ~gone;
    const first = (gone & 1) === 0 ? 0 : -1;
    const last = gone < 0 ? 1 : 0;
    for (let q = i - across; q <= i + across; q += across) {
      for (let side = first; side <= last; side++) stamps[q + side] = when;
    }
  }
}

function unpack(words: Int32Array, across: number, w: number, h: number, rooms: Rooms): Skeleton {
  const data = rooms.zeroBytes(w * h);
  for (let y = 0; y < h; y++) setBits(words, across * (y + 1) + 1, across - 2, data, y * w);
  return { data, widthPx: w, heightPx: h, pixels: maskPixels({ data }) };
}

function setBits(words: Int32Array, from: number, length: number, data: Uint8Array, start: number): void {
  for (let k = 0; k < length; k++) {
    for (let bits = words[from + k]; bits !== 0; bits &= bits - 1) {
      data[start + 32 * k + 31 - Math.clz32(bits & -bits)] = 1;
    }
  }
}
