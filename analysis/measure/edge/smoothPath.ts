/** An edge's own smooth path: a local fit as long as the stroke's bend allows, which hairs do not pull outwards. */
import { selectKth } from '../../raster/select.ts';
import type { CentreLine } from './centreLine.ts';
import { localFit, localPath, pathFits } from './localFit.ts';

/** Half the window on a straight stroke, mm: waves up to about as long are the edge's, longer ones the hand's. */
const WINDOW_MM = 2.4;
const LEAST_WINDOW_MM = 0.4;
/** On a bend of radius ρ (mm) a parabola over ± h leaves about h⁴ / (200 ρ³): with this factor of ρ^¾, some 4 µm at most. */
const PER_BEND = 0.95;
/** From a sharper bend on windows grow by no more than this share of the way: where the bend begins within a window, a parabola leaves ten times what an even bend leaves (study edges, handwriting). */
const GROWTH = 0.25;
/** Bends are told from so much of the line either way, mm: ragged edges bend it on a smaller scale. */
const BEND_MM = 1;
/** An outward departure beyond this many standard deviations of the inward ones is a hair's, and at least so far, mm. */
const OUTLIER_SIGMAS = 3;
const OUTLIER_MM = 0.02;
/** … but not for longer than this along the edge, mm: a broader departure is a bend that the path does not follow, and left out it would draw the path still farther off. */
const LONGEST_OUTLIER_MM = 0.6;

/** Hairs stand on the edge within so much either way (mm), and on this percentile of it. */
const BASE_MM = 0.3;
const BASE_PERCENTILE = 0.4;

export interface SmoothPath {
  /** Distance of the path from the stroke's middle, px. */
  readonly away: Float64Array;
  /** What hairs stand on: the edge as it lies about each place, px from the middle; where a bend is sharper than the path follows, this does. */
  readonly base: Float64Array;
  /** 1 where the edge departs outwards by more than its raggedness explains. */
  readonly outlier: Uint8Array;
  readonly halfStations: Float64Array;
}

/**
 * @param away Distance of the edge from the middle line, px, NaN where unknown. The path is fitted in the plane, so that the
 * middle's own wobble does not count as the edge's. @param bend Of the line (bendOf).
 */
export function smoothPath(
  line: CentreLine,
  side: -1 | 1,
  away: Float64Array,
  counted: Uint8Array,
  bend: Float64Array,
  pxPerMm: number,
): SmoothPath {
  const n = away.length;
  const known = new Float64Array(n);
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  const halfStations = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const isKnown = counted[i] === 1 && !Number.isNaN(away[i]);
    known[i] = isKnown ? 1 : 0;
    const by = isKnown ? side * away[i] : 0;
    x[i] = line.x[i] + by * line.nx[i];
    y[i] = line.y[i] + by * line.ny[i];
    // The inner edge of a bend is bent more sharply than the stroke's middle, the outer one less.
    const bendMm = Math.abs(1 / bend[i] - by) / pxPerMm;
    const half = Math.max(LEAST_WINDOW_MM, Math.min(WINDOW_MM, PER_BEND * Math.sqrt(bendMm * Math.sqrt(bendMm))));
    halfStations[i] = (half * pxPerMm) / line.stepPx;
  }
  growSlowly(halfStations);
  const even = calmed(halfStations);
  const outlier = new Uint8Array(n);
  const weight = Float64Array.from(known);
  const path = new Float64Array(n).fill(NaN);
  const fits = pathFits(n);
  const outward = new Uint8Array(n);
  const changes = new Int32Array(n + 1);
  for (let round = 0; round < 4; round++) {
    localPath(x, y, even, weight, round === 0 ? null : changes, fits);
    projectPath(line, side, fits.outX, fits.outY, path);
    const limit = Math.max(OUTLIER_MM * pxPerMm, OUTLIER_SIGMAS * inwardScatter(away, path, known));
    for (let i = 0; i < n; i++) outward[i] = known[i] === 1 && away[i] - path[i] > limit ? 1 : 0;
    narrowOnly(outward, (LONGEST_OUTLIER_MM * pxPerMm) / line.stepPx);
    for (let i = 0; i < n; i++) {
      const out = outward[i];
      changes[i + 1] = changes[i] + (out === outlier[i] ? 0 : 1);
      outlier[i] = out;
      weight[i] = known[i] * (1 - out);
    }
    if (changes[n] === 0) break;
  }
  const base = baseOf(away, path, known, (BASE_MM * pxPerMm) / line.stepPx, BASE_PERCENTILE);
  return { away: path, base, outlier, halfStations: even };
}

/** How far a path lies from the middle along its normals, px. */
function projectPath(line: CentreLine, side: -1 | 1, px: Float64Array, py: Float64Array, path: Float64Array): void {
  const { x, y, nx, ny } = line;
  for (let i = 0; i < path.length; i++) path[i] = side * ((px[i] - x[i]) * nx[i] + (py[i] - y[i]) * ny[i]);
}

/** Takes back runs that are longer than `most`, in place. */
function narrowOnly(marked: Uint8Array, most: number): void {
  for (let i = 0; i < marked.length;) {
    let end = i;
    while (end < marked.length && marked[end] === 1) end++;
    if (end - i > most) marked.fill(0, i, end);
    i = end + 1;
  }
}

/** One edge as it was seen, and the smooth path through it; both px from the middle. */
export interface SeenEdge {
  readonly line: CentreLine;
  readonly away: Float64Array;
  readonly path: Float64Array;
  /** 1 where it counts. */
  readonly counted: Uint8Array;
}

/** What notches hang from, as hairs stand on `base`: the same of the edge's mirror image. */
export function notchBase(edge: SeenEdge, pxPerMm: number): Float64Array {
  const mirrored = (values: Float64Array): Float64Array => values.map((v) => -v);
  const image = { ...edge, away: mirrored(edge.away), path: mirrored(edge.path) };
  return mirrored(seenBase(image, pxPerMm, BASE_PERCENTILE));
}

/** Where most of an edge is hairs, this percentile of it lies in the gaps between them (drawn lines, 12 to 50 hairs a cm). */
const GAP_PERCENTILE = 0.2;

/** The edge as the gaps between hairs show it, px from the middle. */
export function gapPath(edge: SeenEdge, pxPerMm: number): Float64Array {
  return seenBase(edge, pxPerMm, GAP_PERCENTILE);
}

function seenBase({ line, away, path, counted }: SeenEdge, pxPerMm: number, percentile: number): Float64Array {
  const known = Float64Array.from(away, (v, i) => (counted[i] === 1 && !Number.isNaN(v) ? 1 : 0));
  return baseOf(away, path, known, (BASE_MM * pxPerMm) / line.stepPx, percentile);
}

/** The path moved by a low percentile of the edge's departures from it nearby, which narrow hairs hardly touch. */
function baseOf(
  away: Float64Array,
  path: Float64Array,
  known: Float64Array,
  reach: number,
  percentile: number,
): Float64Array {
  const n = away.length;
  const stride = Math.max(1, Math.floor(reach / 3));
  const base = Float64Array.from(path);
  let before = 0;
  const near = new Float64Array(2 * Math.ceil(reach) + 1);
  for (let i = 0; i < n + stride; i += stride) {
    const at = Math.min(i, n - 1);
    let found = 0;
    for (let k = Math.max(0, Math.ceil(at - reach)); k <= Math.min(n - 1, at + reach); k++) {
      if (known[k] === 0) continue;
      // Few values: put in their places as they come.
      const v = away[k] - path[k];
      let p = found++;
      for (; p > 0 && near[p - 1] > v; p--) near[p] = near[p - 1];
      near[p] = v;
    }
    const shift = found > 0 ? near[Math.floor(percentile * (found - 1))] : 0;
    for (let k = Math.max(0, i - stride); k < Math.min(n, i); k++) {
      base[k] += before + ((shift - before) * (k - i + stride)) / stride;
    }
    before = shift;
  }
  return base;
}

/** One over the radius that a line is bent with over some length of it, per px; signed as its turn. */
export function bendOf(line: CentreLine, pxPerMm: number): Float64Array {
  const half = Math.round((BEND_MM * pxPerMm) / line.stepPx);
  const stride = Math.max(1, half >> 2);
  const fx = localFit(line.x, half, stride);
  const fy = localFit(line.y, half, stride);
  const bend = new Float64Array(line.x.length);
  for (let i = 0; i < bend.length; i++) {
    const dx = fx.slope[i];
    const dy = fy.slope[i];
    const length = Math.sqrt(dx * dx + dy * dy);
    bend[i] = (dx * fy.second[i] - dy * fx.second[i]) / Math.max(1e-9, length * length * length);
  }
  return bend;
}

/** In place. */
function growSlowly(half: Float64Array): void {
  for (let i = 1; i < half.length; i++) half[i] = Math.min(half[i], half[i - 1] + GROWTH);
  for (let i = half.length - 2; i >= 0; i--) half[i] = Math.min(half[i], half[i + 1] + GROWTH);
}

/** The window must not jump from station to station: the least of its neighbourhood, then smoothed. */
function calmed(half: Float64Array): Float64Array {
  const n = half.length;
  const out = new Float64Array(n);
  const sums = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) sums[i + 1] = sums[i] + half[i];
  for (let i = 0; i < n; i++) {
    const reach = Math.round(half[i] / 2);
    const from = Math.max(0, i - reach);
    const to = Math.min(n, i + reach + 1);
    out[i] = Math.min(half[i], (sums[to] - sums[from]) / (to - from));
  }
  return out;
}

/** Standard deviation that the inward half of the departures would have, by their median. */
export function inwardScatter(away: Float64Array, path: Float64Array, known: ArrayLike<number>): number {
  const all = new Float64Array(away.length);
  let found = 0;
  for (let i = 0; i < away.length; i++) {
    const r = away[i] - path[i];
    if (known[i] !== 0 && r < 0) all[found++] = -r;
  }
  if (found < 8) return 0;
  // The median of a half-normal lies at 0.6745 sigma.
  return selectKth(all, found, found >> 1) / 0.6745;
}
