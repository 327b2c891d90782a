/** Strokes and swabs that cross a bar: found on the paper on both sides of it, and followed over it, where ink cannot be seen. */
import type { Bar } from './findBar.ts';

/** One pass of the pen across the bar: s of its middle and its width as lines over t, px. */
export interface Crossing {
  readonly middle: (t: number) => number;
  readonly width: number;
}

/** Paper beside the bar that is looked at, from its edge, mm: clear of the edge's blur, near enough for a line to be straight. */
export const BESIDE_MM = [0.4, 1.6] as const;
/** Least light that ink must take away to be seen, share of paper's. */
const LEAST_CONTRAST = 0.06;
const LEAST_WIDTH_MM = 0.12;
/** From one side to the other a pass may lean by this much for each mm of the bar, and change its width by this factor. */
const MOST_LEAN = 0.6;
const MOST_WIDER = 1.7;
/**
 * How far a pass may point past where it comes out again, over the length that is looked at beside the bar: mm, and share of its width. A letter
 * turns; a line drawn across goes on, and none of 30 drawn pages is lost. Common practice, no source.
 */
const MOST_TURN_MM = 0.12;
const MOST_TURN_OF_WIDTH = 0.1;

interface Run {
  readonly middle: number;
  readonly width: number;
  /** How far the middle moves along s for each px of t, on this side. */
  readonly lean: number;
}

/** @param darkest of the three channels' light over paper's, per pixel */
export function barCrossings(bar: Bar, darkest: Float32Array, dpi: number): Crossing[] {
  const pxPerMm = dpi / 25.4;
  const [upper, lower] = ([0, 1] as const).map((side) => runsBeside(bar, side, darkest, pxPerMm));
  const half = ((BESIDE_MM[0] + BESIDE_MM[1]) / 2) * pxPerMm;
  const taken = new Set<Run>();
  return upper.flatMap((run): Crossing[] => {
    const t0 = edgeAt(bar, 0, run.middle) - half;
    const t1 = edgeAt(bar, 1, run.middle) + half;
    const near = lower
      .filter((one) => !taken.has(one) && Math.abs(one.middle - run.middle) <= MOST_LEAN * (t1 - t0))
      .filter(({ width }) => Math.max(width, run.width) <= MOST_WIDER * Math.min(width, run.width))
      .toSorted((a, b) => Math.abs(a.middle - run.middle) - Math.abs(b.middle - run.middle))
      .at(0);
    if (!near) return [];
    const lean = (near.middle - run.middle) / (t1 - t0);
    if (turns(run, lean, pxPerMm) || turns(near, lean, pxPerMm)) return [];
    taken.add(near);
    return [{ middle: (t) => run.middle + lean * (t - t0), width: (run.width + near.width) / 2 }];
  });
}

/** The line from side to side does not go on as the ink does on this one. */
function turns(run: Run, lean: number, pxPerMm: number): boolean {
  const lengthPx = (BESIDE_MM[1] - BESIDE_MM[0]) * pxPerMm;
  return Math.abs(run.lean - lean) * (lengthPx / 2) > Math.max(MOST_TURN_MM * pxPerMm, MOST_TURN_OF_WIDTH * run.width);
}

/** Where the bar's edge lies across it, px, at a place `s` along it. */
export function edgeAt({ edges }: Bar, side: 0 | 1, s: number): number {
  return edges[side].at + edges[side].slope * s;
}

/** Ink along the paper beside one edge, its ends where it is half as dark as the darkest. */
function runsBeside(bar: Bar, side: 0 | 1, darkest: Float32Array, pxPerMm: number): Run[] {
  const { box, from, to } = bar;
  const way = side === 0 ? -1 : 1;
  const taken = new Float64Array(box.length);
  for (let s = from; s <= to; s++) {
    let sum = 0;
    let count = 0;
    for (let d = BESIDE_MM[0] * pxPerMm; d <= BESIDE_MM[1] * pxPerMm; d++) {
      const t = Math.round(edgeAt(bar, side, s) + way * d);
      if (t < 0 || t >= box.across) continue;
      sum += 1 - darkest[box.at(s, t)];
      count++;
    }
    // Less than half of it in the box tells nothing.
    taken[s] = count >= 0.5 * (BESIDE_MM[1] - BESIDE_MM[0]) * pxPerMm ? sum / count : 0;
  }
  const sorted = [...taken.subarray(from, to + 1)].toSorted((a, b) => b - a);
  const strongest = sorted[Math.floor(0.03 * sorted.length)] ?? 0;
  if (strongest < LEAST_CONTRAST) return [];
  const limit = strongest / 2;
  const runs: Run[] = [];
  let start = -1;
  for (let s = from; s <= to + 1; s++) {
    const inked = s <= to && taken[s] > limit;
    if (inked && start < 0) start = s;
    if (inked || start < 0) continue;
    // Cut off by the box or the bar's end: its middle is not known.
    if (start > from && s <= to) {
      const left = start - (taken[start] - limit) / Math.max(1e-6, taken[start] - taken[start - 1]);
      const right = s - 1 + (taken[s - 1] - limit) / Math.max(1e-6, taken[s - 1] - taken[s]);
      const width = right - left;
      if (width >= LEAST_WIDTH_MM * pxPerMm) {
        runs.push({ middle: (left + right) / 2, width, lean: leanOf(bar, side, darkest, pxPerMm, start - 1, s) });
      }
    }
    start = -1;
  }
  return runs;
}

/** From the near half of what is looked at to the far half: where the ink's weight lies between two places along the bar. */
function leanOf(bar: Bar, side: 0 | 1, darkest: Float32Array, pxPerMm: number, first: number, last: number): number {
  const way = side === 0 ? -1 : 1;
  const middle = (BESIDE_MM[0] + BESIDE_MM[1]) / 2;
  const weight = [0, 0];
  const places = [0, 0];
  for (let s = first; s <= last; s++) {
    for (let d = BESIDE_MM[0] * pxPerMm; d <= BESIDE_MM[1] * pxPerMm; d++) {
      const t = Math.round(edgeAt(bar, side, s) + way * d);
      if (t < 0 || t >= bar.box.across) continue;
      const half = d < middle * pxPerMm ? 0 : 1;
      const taken = Math.max(0, 1 - darkest[bar.box.at(s, t)]);
      weight[half] += taken;
      places[half] += taken * s;
    }
  }
  const moved = places[1] / Math.max(1e-9, weight[1]) - places[0] / Math.max(1e-9, weight[0]);
  return (way * moved) / (((BESIDE_MM[1] - BESIDE_MM[0]) / 2) * pxPerMm);
}
