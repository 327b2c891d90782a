/**
 * One-pixel-wide skeleton of a mask.
 * Source: Guo & Hall (1989), Comm. ACM 32(3), 359–373 (parallel thinning, two sub-iterations, 8-connected).
 */
import type { Mask } from './raster.ts';

export function thin(mask: Mask): Mask {
  const { widthPx: w, heightPx: h } = mask;
  const data = mask.data.slice();
  // The outermost ring has no full neighbourhood; ink there is cut by the box and is not part of the skeleton.
  data.fill(0, 0, w);
  data.fill(0, w * (h - 1));
  for (let i = w; i < w * h; i += w) {
    data[i] = 0;
    data[i - 1] = 0;
  }
  // What cannot be removed stays so until a neighbour falls: each sub-iteration looks at those about whom something changed.
  let looking = edgePixels(data, w);
  let next: Int32Array = looking.slice();
  let waiting = new Int32Array(Math.max(1024, looking.length));
  let doomed = new Int32Array(1024);
  const queued = new Uint8Array(data.length);
  let idle = 0;
  for (let even = true; idle < 2; even = !even) {
    if (doomed.length < looking.length) doomed = new Int32Array(looking.length);
    const falling = removableOf(data, looking, w, even ? EVEN : ODD, doomed);
    for (let k = 0; k < falling; k++) data[doomed[k]] = 0;
    idle = falling > 0 ? 0 : idle + 1;
    // Neighbours of what fell are looked at by both coming sub-iterations: by the next one beside what waits for it already.
    let count = 0;
    for (let k = 0; k < falling; k++) {
      const i = doomed[k];
      if (count + 8 > waiting.length) waiting = longer(waiting, 2 * waiting.length);
      for (let row = i - w; row <= i + w; row += w) {
        for (let q = row - 1; q <= row + 1; q++) {
          if (!data[q] || queued[q]) continue;
          queued[q] = 1;
          waiting[count++] = q;
        }
      }
    }
    const changed = waiting.slice(0, count);
    for (const q of changed) queued[q] = 0;
    looking = joined(next, changed);
    next = changed;
  }
  return { data, widthPx: w, heightPx: h };
}

/** Those of the pixels that can go now, into `out`. @returns how many they are */
function removableOf(data: Uint8Array, looking: Int32Array, w: number, when: number, out: Int32Array): number {
  let count = 0;
  for (let k = 0; k < looking.length; k++) {
    const i = looking[k];
    if (data[i] !== 0 && (REMOVABLE[around(data, i, w)] & when) !== 0) out[count++] = i;
  }
  return count;
}

/** Pixels with an empty one among their eight neighbours: no other can go. */
function edgePixels(data: Uint8Array, w: number): Int32Array {
  const all = new Int32Array(data.length);
  let count = 0;
  for (let i = w + 1; i < data.length - w - 1; i++) {
    if (!data[i]) continue;
    const around =
      data[i - w - 1] + data[i - w] + data[i - w + 1] + data[i - 1] + data[i + 1] + data[i + w - 1] + data[i + w] + data[i + w + 1]; // prettier-ignore
    if (around < 8) all[count++] = i;
  }
  return all.slice(0, count);
}

function joined(a: Int32Array, b: Int32Array): Int32Array<ArrayBuffer> {
  const out = new Int32Array(a.length + b.length);
  out.set(a);
  out.set(b, a.length);
  return out;
}

function longer(values: Int32Array, length: number): Int32Array<ArrayBuffer> {
  const out = new Int32Array(length);
  out.set(values);
  return out;
}

/** The eight neighbours as bits, from the one above on clockwise. */
function around(d: Uint8Array, i: number, w: number): number {
  return (
    d[i - w] |
    (d[i - w + 1] << 1) |
    (d[i + 1] << 2) |
    (d[i + w + 1] << 3) |
    (d[i + w] << 4) |
    (d[i + w - 1] << 5) |
    (d[i - 1] << 6) |
    (d[i - w - 1] << 7)
  );
}

const EVEN = 1;
const ODD = 2;
/** By the neighbours, in which of the two sub-iterations a pixel can go. */
const REMOVABLE = Uint8Array.from({ length: 256 }, (_, bits) => {
  const [p2, p3, p4, p5, p6, p7, p8, p9] = Array.from({ length: 8 }, (__, k) => (bits >> k) & 1);
  const crossings = (p2 ? 0 : p3 | p4) + (p4 ? 0 : p5 | p6) + (p6 ? 0 : p7 | p8) + (p8 ? 0 : p9 | p2);
  const n1 = (p9 | p2) + (p3 | p4) + (p5 | p6) + (p7 | p8);
  const n2 = (p2 | p3) + (p4 | p5) + (p6 | p7) + (p8 | p9);
  const n = Math.min(n1, n2);
  if (crossings !== 1 || n < 2 || n > 3) return 0;
  const even = ((p6 | p7 | (p9 ? 0 : 1)) & p8) === 0;
  const odd = ((p2 | p3 | (p5 ? 0 : 1)) & p4) === 0;
  return (even ? EVEN : 0) + (odd ? ODD : 0);
});
