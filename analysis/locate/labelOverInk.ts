/**
 * Where a label's letters touch the writing they hang together with it and no piece is theirs alone. A label lies on a line: beside those of its letters
 * that were told, each pixel is the ink's or the label's by whose colour it has.
 */
import { components } from '../raster/components.ts';
import type { Mask } from '../raster/raster.ts';

type Vector = readonly [number, number, number];

export interface Letter extends Boxed {
  readonly area: number;
  /** Light that its core takes, a share per channel. */
  readonly lost: Vector;
}

/** Letters of one line: their box is no higher than this many of them. */
const MOST_HEIGHTS = 3;
/** The line goes on for so many of its heights where no letter was told. */
const FURTHER = 2.5;
/** … again and again, if a word goes on to the end of it. */
const MOST_ROUNDS = 8;
/** A pixel with less than this share of the label's strength is a rim and goes with its surroundings. */
const STRONG = 0.45;
/** The label's colour must be nearer than this share of the distance to the ink's. */
const NEARER = 0.6;
/** … which must lie at least so far off, as a share of the pixel's own contrast (noise reaches half of it), or half as far as the label's own letters do. */
const LEAST_OFF = 0.05;
/** Smaller pieces of one colour within the other are noise, mm². */
const LEAST_MM2 = 0.03;

/**
 * Clears them from the mask, in place. @param unlikeInk How far a colour lies from all that the ink can look like, as a share of its contrast.
 * @returns the pixels cleared.
 */
export function clearLettersOnInk(
  mask: Mask,
  ratio: Float32Array,
  letters: readonly Letter[],
  unlikeInk: (lost: Vector) => number,
  pxPerMm: number,
): number {
  let box = lineBox(letters, mask);
  if (box === null) return 0;
  const label = meanLost(letters);
  const leastOff = Math.min(LEAST_OFF, 0.5 * unlikeInk(label));
  const kindAt = (x: number, y: number) => kindOf(smoothLost(mask, ratio, x, y), label, leastOff, unlikeInk);
  const least = Math.max(4, LEAST_MM2 * pxPerMm * pxPerMm);
  let kind = kindsIn(mask, box, kindAt, least);
  // A word that hangs on to the writing may be longer than what was told of the label.
  for (let round = 0; round < MOST_ROUNDS && kind !== null; round++) {
    const further = grown(box, kind, mask);
    if (further === null) break;
    box = further;
    kind = kindsIn(mask, box, kindAt, least);
  }
  if (kind === null) return 0;
  const { x0, y0, width, height } = box;
  forgetSmall(kind, 2, 3, width, height, least);
  spread(kind, width, height);
  let cleared = 0;
  for (let i = 0; i < kind.length; i++) {
    if (kind[i] !== 3) continue;
    mask.data[(y0 + Math.floor(i / width)) * mask.widthPx + x0 + (i % width)] = 0;
    cleared++;
  }
  return cleared;
}

/** 0 outside the mask, 1 a rim, 2 the ink's, 3 the label's; null where nothing is the label's. */
function kindsIn(
  mask: Mask,
  { x0, y0, width, height }: Box,
  kindAt: (x: number, y: number) => 1 | 2 | 3,
  least: number,
): Uint8Array | null {
  const kind = new Uint8Array(width * height);
  for (let v = 0; v < height; v++) {
    for (let u = 0; u < width; u++) {
      if (mask.data[(y0 + v) * mask.widthPx + x0 + u]) kind[v * width + u] = kindAt(x0 + u, y0 + v);
    }
  }
  forgetSmall(kind, 3, 2, width, height, least);
  return kind.includes(3) ? kind : null;
}

/** The box, further on at an end where the label lies within half a step of it; null where it does not. */
function grown({ x0, y0, width, height, aside }: Box, kind: Uint8Array, { widthPx }: Mask): Box | null {
  const near = Math.min(width, Math.ceil(aside / 2));
  const isLabel = (from: number, to: number) =>
    Array.from({ length: height }, (_, v) => kind.subarray(v * width + from, v * width + to)).some((row) =>
      row.includes(3),
    );
  const from = isLabel(0, near) ? Math.max(0, x0 - aside) : x0;
  const last = x0 + width - 1;
  const to = isLabel(width - near, width) ? Math.min(widthPx - 1, last + aside) : last;
  return from === x0 && to === last ? null : { x0: from, y0, width: to - from + 1, height, aside };
}

interface Box {
  readonly x0: number;
  readonly y0: number;
  readonly width: number;
  readonly height: number;
  /** How far it goes on at a time, px. */
  readonly aside: number;
}

interface Boxed {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** Boxes in px; none are on no line. */
export function onOneLine(letters: readonly Boxed[]): boolean {
  const { top, bottom, tall } = extent(letters);
  return letters.length > 0 && bottom - top + 1 <= MOST_HEIGHTS * tall;
}

function extent(letters: readonly Boxed[]): { readonly top: number; readonly bottom: number; readonly tall: number } {
  const heights = letters.map((l) => l.y1 - l.y0 + 1).toSorted((a, b) => a - b);
  const tall = heights[Math.ceil(0.75 * (heights.length - 1))];
  return { top: Math.min(...letters.map((l) => l.y0)), bottom: Math.max(...letters.map((l) => l.y1)), tall };
}

/** Null where the pieces do not lie on one line. */
function lineBox(letters: readonly Letter[], { widthPx, heightPx }: Mask): Box | null {
  if (!onOneLine(letters)) return null;
  const { top, bottom, tall } = extent(letters);
  const aside = Math.round(FURTHER * tall);
  const x0 = Math.max(0, Math.min(...letters.map((l) => l.x0)) - aside);
  const x1 = Math.min(widthPx - 1, Math.max(...letters.map((l) => l.x1)) + aside);
  const y0 = Math.max(0, top - tall);
  const y1 = Math.min(heightPx - 1, bottom + tall);
  return { x0, y0, width: x1 - x0 + 1, height: y1 - y0 + 1, aside };
}

function meanLost(letters: readonly Letter[]): Vector {
  const sum = [0, 0, 0];
  let area = 0;
  for (const letter of letters) {
    for (let c = 0; c < 3; c++) sum[c] += letter.area * letter.lost[c];
    area += letter.area;
  }
  return [sum[0] / area, sum[1] / area, sum[2] / area];
}

/** Mean over the mask's pixels of the three by three about a place: of one pixel noise tells too much. */
function smoothLost({ data, widthPx: w, heightPx: h }: Mask, ratio: Float32Array, x: number, y: number): Vector {
  const sum: [number, number, number] = [0, 0, 0];
  let n = 0;
  for (let v = Math.max(0, y - 1); v <= Math.min(h - 1, y + 1); v++) {
    for (let u = Math.max(0, x - 1); u <= Math.min(w - 1, x + 1); u++) {
      const i = v * w + u;
      if (!data[i]) continue;
      n++;
      for (let c = 0; c < 3; c++) sum[c] += 1 - ratio[3 * i + c];
    }
  }
  return [sum[0] / n, sum[1] / n, sum[2] / n];
}

function kindOf(lost: Vector, label: Vector, leastOff: number, unlikeInk: (lost: Vector) => number): 1 | 2 | 3 {
  const along = lost[0] * label[0] + lost[1] * label[1] + lost[2] * label[2];
  const share = along / (label[0] ** 2 + label[1] ** 2 + label[2] ** 2);
  if (share < STRONG) return 1;
  const t = Math.min(1.15, share);
  const off = Math.hypot(lost[0] - t * label[0], lost[1] - t * label[1], lost[2] - t * label[2]) / Math.hypot(...lost);
  const unlike = unlikeInk(lost);
  return unlike > leastOff && off < NEARER * unlike ? 3 : 2;
}

/** Pieces of one kind that are too small take the other kind. */
function forgetSmall(kind: Uint8Array, of: 2 | 3, to: 2 | 3, width: number, height: number, least: number): void {
  const data = kind.map((k) => (k === of ? 1 : 0));
  for (const { area, runs } of components({ data, widthPx: width, heightPx: height })) {
    if (area >= least) continue;
    for (let r = 0; r < runs.length; r += 3)
      kind.fill(to, runs[r] * width + runs[r + 1], runs[r] * width + runs[r + 2] + 1);
  }
}

/** Rims go with what they are nearest to, step by step. */
function spread(kind: Uint8Array, width: number, height: number): void {
  let front: number[] = [];
  for (let i = 0; i < kind.length; i++) if (kind[i] > 1) front.push(i);
  while (front.length > 0) {
    const next: number[] = [];
    for (const p of front) {
      const x = p % width;
      for (const [q, inside] of [
        [p - 1, x > 0],
        [p + 1, x < width - 1],
        [p - width, p >= width],
        [p + width, p < width * (height - 1)],
      ] as const) {
        if (!inside || kind[q] !== 1) continue;
        kind[q] = kind[p];
        next.push(q);
      }
    }
    front = next;
  }
}
