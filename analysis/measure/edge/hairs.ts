/**
 * Hairs: narrow streaks of ink that run outwards from an edge. They are looked for beside the edge's smooth path as what
 * stands out of the mean course across it (a halo and the blur are alike all along, a hair is not), and followed to where
 * they fall to half of their own strength, since a hair thinner than the blur never reaches the level of the ink's edge.
 */
import type { Ink } from '../../locate/inkMask.ts';
import { selectKth } from '../../raster/select.ts';
import { readOuter } from './acrossProfile.ts';
import type { PlacePx } from './edgeDetail.ts';
import type { EdgeSide } from './lineEdges.ts';
import { normalSum } from '../../normalCurve.ts';
import type { SmoothPath } from './smoothPath.ts';
import type { StrokeEdges } from './strokeEdges.ts';

export interface Hair {
  /** Stations. */
  readonly root: number;
  readonly tip: number;
  readonly lengthPx: number;
  /** Pixels of the region, centres at whole numbers. */
  readonly from: PlacePx;
  readonly to: PlacePx;
  /** It could be no more than the edge itself gone outwards, as far as that wanders (wander.ts). */
  readonly isWithinWander: boolean;
}

/** A hair is at least so long, mm: shorter ones are the edge's raggedness. */
export const LEAST_MM = 0.05;
const LONGEST_MM = 0.95;
/** A streak stands out by this many standard deviations of the paper beside the edge, and by this share of the ink's core. */
const SIGMAS = 5;
const LEAST_SHARE = 0.07;
/** No hair is wider than this, mm. */
const WIDEST_MM = 0.25;
/** Ink deeper than this is a stroke's, mm. */
const DEEPEST_MM = 0.075;
/** Within so much and 1.7 sigmas of blur a hair ends either way, mm: two of them that are seen as one, too. */
const BESIDE_MM = 0.135;
/** Beside it, both ways together, it stands out by less than this share of its own. */
const NARROW = 0.7;
/** No hair thins to less than this share over its tip's blur. */
const LEAST_TAPER = 0.5;
/** So far beyond a hair's tip there is nothing, mm. */
const CLEAR_MM = 0.12;

/** One side of a stroke, and what hairs stand out of. */
export interface HairyEdge {
  readonly stroke: StrokeEdges;
  readonly side: EdgeSide;
  readonly path: SmoothPath;
  readonly beyond: MeanBeyond;
  /** How far the edge goes out of its smooth path by itself. */
  readonly wanderPx: number;
  readonly ink: Ink;
  readonly sigmaPx: number;
  readonly pxPerMm: number;
}

/** Where stroke's stations are inner ones. */
export function hairsOf(edge: HairyEdge): Hair[] {
  const { stroke, beyond, sigmaPx, pxPerMm, wanderPx } = edge;
  const { stepPx } = beyond;
  const least = LEAST_MM * pxPerMm;
  const steps = Math.min(beyond.mean.length, Math.floor((LONGEST_MM * pxPerMm) / stepPx));
  const start = startOf(sigmaPx, pxPerMm, stepPx);
  if (start + 2 >= steps) return [];
  const hairs: Hair[] = [];
  const atStart = new Float64Array(stroke.inner.length);
  for (let i = 0; i < atStart.length; i++) atStart[i] = stands(edge, i, start, 0);
  const narrowness = narrownessOf(edge);
  for (const i of streaks(atStart, narrowness, (i) => limitAt(edge, i, start))) {
    const hair = followed(edge, i, start, steps, 0);
    if (hair === null || hair.lengthPx < least) continue;
    const standing = (j: number) => stands(edge, j, start, wanderPx);
    const isBeyond = standing(i) > limitAt(edge, i, start) && isNarrow(standing, i, narrowness.beside);
    const rest = isBeyond ? followed(edge, i, start, steps, wanderPx) : null;
    hairs.push({ ...hair, isWithinWander: rest === null || rest.lengthPx < least });
  }
  return hairs;
}

/** Steps beyond an edge at which streaks are looked for. */
export function startOf(sigmaPx: number, pxPerMm: number, stepPx: number): number {
  return Math.max(1, Math.ceil(Math.max(1.1 * sigmaPx, 0.7 * LEAST_MM * pxPerMm) / stepPx));
}

/** Stations: strongest among so many either way, and hardly standing out so many beside. */
export interface Narrowness {
  readonly apart: number;
  readonly beside: number;
}

/** A hair is at most WIDEST_MM broad; the blur broadens it on either side. */
export function narrownessOf({
  stroke,
  sigmaPx,
  pxPerMm,
}: Pick<HairyEdge, 'stroke' | 'sigmaPx' | 'pxPerMm'>): Narrowness {
  return {
    apart: Math.max(1, Math.round((0.5 * WIDEST_MM * pxPerMm) / stroke.line.stepPx)),
    beside: Math.round((BESIDE_MM * pxPerMm + 1.7 * sigmaPx) / stroke.line.stepPx),
  };
}

/** Stations at which something narrow stands out. */
export function streaks(standing: Float64Array, { apart, beside }: Narrowness, limit: (i: number) => number): number[] {
  const at: number[] = [];
  for (let i = 1; i < standing.length - 1; i++) {
    if (standing[i] > limit(i) && isStrongest(standing, i, apart) && isNarrow((j) => standing[j] ?? NaN, i, beside))
      at.push(i);
  }
  return at;
}

/** What stands out here is gone within a hair's width either way, though another hair may stand there; the outside of a bend is broader. */
function isNarrow(standing: (i: number) => number, i: number, beside: number): boolean {
  return leastWithin(standing, i, -beside) + leastWithin(standing, i, beside) < NARROW * standing(i);
}

/** From `i` on to so many stations away, 0 at least; NaN where it is not known how it ends. */
function leastWithin(standing: (i: number) => number, i: number, far: number): number {
  let least = Math.max(0, standing(i + far));
  const step = Math.sign(far);
  for (let j = i + far - step; j !== i; j -= step) {
    const v = standing(j);
    if (v < least) least = Math.max(0, v);
  }
  return least;
}

/**
 * By how much contrast exceeds the mean course at a station, k steps beyond the edge. @param wanderPx Where the edge has gone outwards, its course has gone with
 * it, at most so far.
 */
function stands({ stroke, side, path, beyond }: HairyEdge, i: number, k: number, wanderPx: number): number {
  if (i < 0 || i >= stroke.inner.length || stroke.inner[i] === 0) return NaN;
  const base = path.base[i];
  const value = valueAt(stroke, side.side, i, base + k * beyond.stepPx);
  if (wanderPx === 0) return value - beyond.mean[k];
  const out = Math.min(wanderPx, side.away[i] - base);
  return value - (out > 0 ? meanAt(beyond.mean, k - out / beyond.stepPx) : beyond.mean[k]);
}

/** The mean course between its steps; within the edge it rises as it falls outside. */
function meanAt(mean: Float64Array, at: number): number {
  const away = Math.abs(at);
  const k = Math.min(mean.length - 2, Math.floor(away));
  const outside = mean[k] + (away - k) * (mean[k + 1] - mean[k]);
  return at < 0 ? 2 * mean[0] - outside : outside;
}

/** What stands out by less is none. */
export function limitAt({ side, beyond }: Pick<HairyEdge, 'side' | 'beyond'>, i: number, k: number): number {
  return Math.max(SIGMAS * beyond.scatter[k], LEAST_SHARE * side.core[i]);
}

/** Of its neighbourhood; a plateau's first. */
function isStrongest(atStart: Float64Array, i: number, apart: number): boolean {
  const own = atStart[i];
  for (let j = Math.max(0, i - apart); j <= Math.min(atStart.length - 1, i + apart); j++) {
    if (atStart[j] > own || (atStart[j] === own && j < i)) return false;
  }
  return true;
}

/** Null where what is followed is another stroke: as broad as one, or without an end. @param start Steps beyond the edge. */
function followed(
  edge: HairyEdge,
  root: number,
  start: number,
  steps: number,
  wanderPx: number,
): Omit<Hair, 'isWithinWander'> | null {
  const { stroke, side, path, beyond, sigmaPx, pxPerMm } = edge;
  const { line } = stroke;
  const { stepPx } = beyond;
  const { ridge, at } = ridgeFrom(edge, root, start, steps, wanderPx);
  const back = Math.max(1, Math.round((1.6 * sigmaPx) / stepPx));
  let end = start;
  for (let k = start + 1; k < steps; k++) {
    const before = ridge[Math.max(start, k - back)];
    const half = Math.max(
      0.5 * before * taper(ridge, start, k - back, back),
      0.6 * limitAt(edge, at[k] < 0 ? root : Math.min(line.x.length - 1, at[k]), k),
    );
    if (!(ridge[k] > half)) {
      const drop = ridge[k - 1] - ridge[k];
      end = drop > 0 && !Number.isNaN(drop) ? k - 1 + Math.min(1, Math.max(0, (ridge[k - 1] - half) / drop)) : k - 1;
      break;
    }
    end = k;
  }
  // Beyond its tip there is paper, and nowhere is it as deep as a stroke; else it was a way to other ink.
  const clear = Math.ceil(end + (2.5 * sigmaPx + CLEAR_MM * pxPerMm) / stepPx);
  if (clear >= steps) return null;
  for (let k = start; k <= clear; k++) {
    if (k * stepPx > 2 * sigmaPx && isStroke(edge, at[k], path.base[at[k]] + k * stepPx)) return null;
    if (k <= end + (2 * sigmaPx) / stepPx) continue;
    if (!(ridge[k] < Math.max(limitAt(edge, at[k], k), 0.3 * ridge[start]))) return null;
  }
  const tip = at[Math.min(steps - 1, Math.max(start, Math.floor(end)))];
  const out = tipOf(end * stepPx, Math.min(back, end - start) * stepPx, sigmaPx);
  const place = (i: number, d: number): PlacePx => [
    line.x[i] + side.side * (path.base[i] + d) * line.nx[i],
    line.y[i] + side.side * (path.base[i] + d) * line.ny[i],
  ];
  // Its length is measured outwards from the path, as an excursion of the edge.
  return { root, tip, lengthPx: out, from: place(root, 0), to: place(tip, out) };
}

/** Outwards from its root, each step at the strongest of three neighbouring stations: how it stands out, and where. */
function ridgeFrom(
  edge: HairyEdge,
  root: number,
  start: number,
  steps: number,
  wanderPx: number,
): { ridge: Float64Array; at: Int32Array } {
  const ridge = new Float64Array(steps);
  const at = new Int32Array(steps);
  let here = root;
  for (let k = start; k < steps; k++) {
    let best = NaN;
    let next = here;
    for (let j = here - 1; j <= here + 1; j++) {
      const v = stands(edge, j, k, wanderPx);
      if (v > best || Number.isNaN(best)) {
        best = v;
        next = j;
      }
    }
    here = next;
    ridge[k] = best;
    at[k] = here;
  }
  return { ridge, at };
}

/** A hair thins on its way: the share of its strength that it keeps over `far` steps beyond `to`, by half of what it lost from `from` on, for its root is stronger than it is broad. */
function taper(ridge: Float64Array, from: number, to: number, far: number): number {
  if (to - from < 2 || !(ridge[to] > 0)) return 1;
  const perStep = (0.5 * (ridge[from] - ridge[to])) / (to - from);
  return Math.min(1, Math.max(LEAST_TAPER, 1 - (far * perStep) / ridge[to]));
}

/** Deeper in ink than a hair is. */
function isStroke({ stroke, side, ink, pxPerMm }: HairyEdge, i: number, away: number): boolean {
  const { line } = stroke;
  const { widthPx: w, heightPx: h } = ink.mask;
  const x = Math.round(line.x[i] + side.side * away * line.nx[i]);
  const y = Math.round(line.y[i] + side.side * away * line.ny[i]);
  return x >= 0 && y >= 0 && x < w && y < h && ink.depthPx[y * w + x] > DEEPEST_MM * pxPerMm + 0.7;
}

/**
 * A streak that ends at ℓ reads Φ((ℓ − d)/σ) of its strength at d. Where it has fallen to half of what it was `farther` in,
 * it has ended, unless that place was within the tip's own blur already.
 */
function tipOf(halfAt: number, farther: number, sigmaPx: number): number {
  const d = farther / sigmaPx;
  let low = -2;
  let high = 6;
  for (let round = 0; round < 30; round++) {
    const a = (low + high) / 2;
    if (normalSum(a - d) < 0.5 * normalSum(a)) low = a;
    else high = a;
  }
  return Math.max(0, halfAt - farther + low * sigmaPx);
}

export interface MeanBeyond {
  readonly stepPx: number;
  /** Median contrast at 0, 1, 2 … steps beyond the smooth path. */
  readonly mean: Float64Array;
  /** Its robust standard deviation from station to station. */
  readonly scatter: Float64Array;
}

const ENOUGH_PLACES = 1200;

/** So pale a part of all places is seen between hairs that cover most of an edge. */
const PALE = 0.25;

/**
 * Medians over some thousand places of all edges, so that hairs do not count. Null with too few. @param isFringe Hairs cover more than half of the edges: what
 * they stand out of is then the palest quarter's, and its scatter the paper's.
 */
export function meanBeyond(
  edges: readonly {
    readonly stroke: StrokeEdges;
    readonly side: EdgeSide;
    readonly path: SmoothPath;
    readonly counted: Uint8Array;
  }[],
  pxPerMm: number,
  isFringe = false,
): MeanBeyond | null {
  const stepPx = 0.5;
  const steps = Math.ceil((LONGEST_MM * pxPerMm) / stepPx);
  let total = 0;
  for (const { counted } of edges) total += howMany(counted);
  const stride = Math.max(1, Math.floor(total / ENOUGH_PLACES));
  const places: Float64Array[] = [];
  for (const { stroke, side, path, counted } of edges) {
    addCourses(places, stroke, side.side, path.base, counted, stride, stepPx, steps);
  }
  const mean = new Float64Array(steps);
  const scatter = new Float64Array(steps);
  const column = new Float64Array(places.length);
  for (let k = 0; k < steps; k++) {
    const count = columnOf(places, k, column);
    if (k === 0 && count < 40) return null;
    const at = isFringe ? Math.floor(PALE * count) : count >> 1;
    mean[k] = count > 0 ? selectKth(column, count, at) : 0;
    // From the paler half alone, which now lies before the median: hairs are in the other.
    const pale = at > 0 ? selectKth(column, at, Math.floor((isFringe ? 0.5 * PALE : 0.16) * count)) : mean[k];
    scatter[k] = Math.max(1e-5, mean[k] - pale);
  }
  if (isFringe) scatter.fill(scatter[steps - 1]);
  return { stepPx, mean, scatter };
}

// Each loop over many stations by itself, called for each edge: it is compiled once, and nothing stands behind it that was not yet run by then.

/** Of stations that are 1. */
export function howMany(counted: Uint8Array): number {
  let sum = 0;
  for (let i = 0; i < counted.length; i++) sum += counted[i];
  return sum;
}

function addCourses(
  places: Float64Array[],
  stroke: StrokeEdges,
  side: -1 | 1,
  base: Float64Array,
  counted: Uint8Array,
  stride: number,
  stepPx: number,
  steps: number,
): void {
  for (let i = 0; i < counted.length; i += stride) {
    if (counted[i] === 1 && !Number.isNaN(base[i])) places.push(courseBeyond(stroke, side, i, base[i], stepPx, steps));
  }
}

/** What is known at one step of all courses. @returns how many */
function columnOf(places: readonly Float64Array[], k: number, column: Float64Array): number {
  let found = 0;
  for (const course of places) if (!Number.isNaN(course[k])) column[found++] = course[k];
  return found;
}

function courseBeyond(
  stroke: StrokeEdges,
  side: -1 | 1,
  station: number,
  fromPx: number,
  stepPx: number,
  steps: number,
): Float64Array {
  const course = new Float64Array(steps);
  for (let k = 0; k < steps; k++) course[k] = valueAt(stroke, side, station, fromPx + k * stepPx);
  return course;
}

/** Contrast 0..1 at a station, `awayPx` outwards from the stroke's middle, by straight lines between samples; NaN beyond the profile. */
export function valueAt({ profiles }: StrokeEdges, side: -1 | 1, station: number, awayPx: number): number {
  const { data, samples, stepPx } = profiles;
  const at = (samples >> 1) + (side * awayPx) / stepPx;
  const k = Math.floor(at);
  if (!(k >= 0 && k + 1 < samples)) return NaN;
  const part = at - k;
  const row = station * samples + k;
  const value = data[row] + part * (data[row + 1] - data[row]);
  if (!Number.isNaN(value)) return value;
  readOuter(profiles, station);
  return data[row] + part * (data[row + 1] - data[row]);
}
