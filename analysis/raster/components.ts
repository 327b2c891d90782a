/** The 8-connected pieces of a mask, by runs: no label image, memory grows with what is there and not with the page. */
import type { Mask } from './raster.ts';

export interface Component {
  readonly area: number;
  /** First and last pixel, inclusive. */
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
  /** Mean of the pixel centres (integer + 0.5). */
  readonly centroid: readonly [x: number, y: number];
  /** y, first x, last x (inclusive), one triple a run, top to bottom and left to right. */
  readonly runs: Int32Array;
}

/** Exact; components come in the order of their topmost, then leftmost run. */
export function components(mask: Mask): Component[] {
  const { runs, parent, count } = joinedRuns(mask);
  return gather(runs, parent, count);
}

export interface JoinedRuns {
  /** y, first x, last x of each run, top to bottom and left to right. */
  readonly runs: Int32Array;
  /** By which rootOf finds the run that stands for all that hang together with one. */
  readonly parent: Int32Array;
  readonly count: number;
}

/** Runs that touch, diagonally too, hang together. Room grows with the number of runs. */
export function joinedRuns({ data, widthPx, heightPx }: Mask): JoinedRuns {
  let runs = new Int32Array(3 * 1024);
  let parent = new Int32Array(1024);
  let count = 0;
  let above = 0;
  let aboveEnd = 0;
  for (let y = 0; y < heightPx; y++) {
    const rowStart = count;
    while (count + widthPx > parent.length) {
      parent = twice(parent);
      runs = twice(runs);
    }
    count = runsOfRow(data, y, widthPx, runs, count);
    joinRow(runs, parent, above, aboveEnd, count);
    above = rowStart;
    aboveEnd = count;
  }
  return { runs, parent, count };
}

// A row or a few runs at a time: what is called often is soon compiled.

/** The runs of a row with those of the row above, `above` to `aboveEnd`, which they follow. */
function joinRow(runs: Int32Array, parent: Int32Array, above: number, aboveEnd: number, end: number): void {
  let touching = above;
  for (let run = aboveEnd; run < end; run++) {
    const first = runs[3 * run + 1];
    const last = runs[3 * run + 2];
    parent[run] = run;
    // Runs of the row above that end before this one begins touch none that follows either.
    while (touching < aboveEnd && runs[3 * touching + 2] < first - 1) touching++;
    for (let k = touching; k < aboveEnd && runs[3 * k + 1] <= last + 1; k++) unite(parent, k, run);
  }
}

/** y, first and last x of each run. @returns how many runs there are then */
function runsOfRow(data: Uint8Array, y: number, widthPx: number, runs: Int32Array, before: number): number {
  let count = before;
  const row = y * widthPx;
  const end = row + widthPx;
  for (let i = row; i < end; i++) {
    if (data[i] === 0) continue;
    runs[3 * count] = y;
    runs[3 * count + 1] = i - row;
    while (i + 1 < end && data[i + 1] !== 0) i++;
    runs[3 * count + 2] = i - row;
    count++;
  }
  return count;
}

function twice(values: Int32Array): Int32Array<ArrayBuffer> {
  const out = new Int32Array(2 * values.length);
  out.set(values);
  return out;
}

/** The smaller root wins, so that a component's root is its first run. */
function unite(parent: Int32Array, a: number, b: number): void {
  const rootA = rootOf(parent, a);
  const rootB = rootOf(parent, b);
  if (rootA < rootB) parent[rootB] = rootA;
  else parent[rootA] = rootB;
}

/** The run that stands for all that hang together with this one; the way to it is made short. */
export function rootOf(parent: Int32Array, run: number): number {
  let root = run;
  while (parent[root] !== root) root = parent[root];
  while (parent[run] !== root) {
    const next = parent[run];
    parent[run] = root;
    run = next;
  }
  return root;
}

function gather(runs: Int32Array, parent: Int32Array, count: number): Component[] {
  // Number of each root's component, in the order of roots, and its runs.
  const number = new Int32Array(count);
  const sizes = new Int32Array(count);
  let known = 0;
  for (let from = 0; from < count; from += CHUNK) {
    known = numberRoots(parent, from, Math.min(count, from + CHUNK), number, sizes, known);
  }
  const own = Array.from(sizes.subarray(0, known), (size) => new Int32Array(3 * size));
  const filled = new Int32Array(known);
  for (let from = 0; from < count; from += CHUNK) {
    dealOut(runs, parent, number, from, Math.min(count, from + CHUNK), own, filled);
  }
  return own.map(described);
}

const CHUNK = 256;

/** @returns how many components there are then */
function numberRoots(
  parent: Int32Array,
  from: number,
  to: number,
  number: Int32Array,
  sizes: Int32Array,
  before: number,
): number {
  let known = before;
  for (let run = from; run < to; run++) {
    const root = rootOf(parent, run);
    if (root === run) number[run] = known++;
    sizes[number[root]]++;
  }
  return known;
}

function dealOut(
  runs: Int32Array,
  parent: Int32Array,
  number: Int32Array,
  from: number,
  end: number,
  own: readonly Int32Array[],
  filled: Int32Array,
): void {
  for (let run = from; run < end; run++) {
    const c = number[parent[run]];
    const to = own[c];
    const at = filled[c];
    to[at] = runs[3 * run];
    to[at + 1] = runs[3 * run + 1];
    to[at + 2] = runs[3 * run + 2];
    filled[c] = at + 3;
  }
}

function described(runs: Int32Array): Component {
  let area = 0;
  let sumX = 0;
  let sumY = 0;
  let x0 = Infinity;
  let x1 = -Infinity;
  for (let r = 0; r < runs.length; r += 3) {
    const first = runs[r + 1];
    const last = runs[r + 2];
    const length = last - first + 1;
    area += length;
    sumX += (length * (first + last + 1)) / 2;
    sumY += length * (runs[r] + 0.5);
    x0 = Math.min(x0, first);
    x1 = Math.max(x1, last);
  }
  return { area, x0, y0: runs[0], x1, y1: runs[runs.length - 3], centroid: [sumX / area, sumY / area], runs };
}
