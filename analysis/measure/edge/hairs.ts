/**
 * Hairs: narrow streaks of ink that run outwards from an edge. They are looked for beside the edge's smooth path as what
 * stands out of the mean course across it (a halo and the blur are alike all along, a hair is not), and followed to where
 * they fall to half of their own strength, since a hair thinner than the blur never reaches the level of the ink's edge.
 */
import type { PlacePx } from './edgeDetail.ts';
import type { EdgeSide } from './lineEdges.ts';
import { normalSum } from './normalCurve.ts';
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
}

/** A hair is at least so long, mm: shorter ones are the edge's raggedness. */
const LEAST_MM = 0.05;
const LONGEST_MM = 0.95;
/** A streak stands out by this many standard deviations of the paper beside the edge, and by this share of the ink's core. */
const SIGMAS = 5;
const LEAST_SHARE = 0.07;
/** No hair is wider than this, mm. */
const WIDEST_MM = 0.25;
/** Ink deeper than this is a stroke's, mm. */
const DEEPEST_MM = 0.075;
/** Beside it, both ways together, it stands out by less than this share of its own. */
const NARROW = 0.7;
/** No hair thins to less than this share over its tip's blur. */
const LEAST_TAPER = 0.5;
/** So far beyond a hair's tip there is nothing, mm. */
const CLEAR_MM = 0.12;

/** @param beyond Mean contrast outwards from the smooth path. @param depthOf Depth of the ink at a place, px; 0 off it. */
export function hairsOf(
  stroke: StrokeEdges,
  side: EdgeSide,
  path: SmoothPath,
  counted: Uint8Array,
  beyond: MeanBeyond,
  depthOf: (xPx: number, yPx: number) => number,
  sigmaPx: number,
  pxPerMm: number,
): Hair[] {
  const { line } = stroke;
  const { stepPx } = beyond;
  const n = line.x.length;
  const steps = Math.min(beyond.mean.length, Math.floor((LONGEST_MM * pxPerMm) / stepPx));
  const start = Math.max(1, Math.ceil(Math.max(1.1 * sigmaPx, 0.7 * LEAST_MM * pxPerMm) / stepPx));
  if (start + 2 >= steps) return [];
  const stands = (i: number, k: number): number =>
    i < 0 || i >= n || counted[i] === 0
      ? NaN
      : valueAt(stroke, side.side, i, path.base[i] + k * stepPx) - beyond.mean[k];
  const limitAt = (i: number, k: number) => Math.max(SIGMAS * beyond.scatter[k], LEAST_SHARE * side.core[i]);
  const apart = Math.max(1, Math.round((0.5 * WIDEST_MM * pxPerMm) / line.stepPx));
  const beside = Math.round((DEEPEST_MM * pxPerMm + 1.7 * sigmaPx) / line.stepPx);
  const isStroke = (i: number, away: number) =>
    depthOf(line.x[i] + side.side * away * line.nx[i], line.y[i] + side.side * away * line.ny[i]) >
    DEEPEST_MM * pxPerMm + 0.7;
  const hairs: Hair[] = [];
  let last = -Infinity;
  const atStart = Float64Array.from(line.x, (_, i) => stands(i, start));
  for (let i = 1; i < n - 1; i++) {
    const own = atStart[i];
    if (!(own > limitAt(i, start)) || i - last < apart) continue;
    // The strongest of its neighbourhood; a plateau's first.
    let strongest = true;
    for (let j = i - apart; j <= i + apart && strongest; j++) {
      const other = atStart[j] ?? NaN;
      if (other > own || (other === own && j < i)) strongest = false;
    }
    if (!strongest) continue;
    // Narrow: what stands out here is gone beside a hair's width; the outside of a bend is broader.
    const asides = Math.max(0, atStart[i - beside] ?? NaN) + Math.max(0, atStart[i + beside] ?? NaN);
    if (!(asides < NARROW * own)) continue;
    const hair = followed(i);
    if (hair === null || hair.lengthPx < LEAST_MM * pxPerMm) continue;
    last = i;
    hairs.push(hair);
  }
  return hairs;

  /** Null where what is followed is another stroke: as broad as one, or without an end. */
  function followed(root: number): Hair | null {
    const ridge = new Float64Array(steps);
    /** A hair thins on its way: the share of its strength that it keeps over `far` steps beyond `to`, by half of what it lost from `from` on, for its root is stronger than it is broad. */
    const taper = (from: number, to: number, far: number): number => {
      if (to - from < 2 || !(ridge[to] > 0)) return 1;
      const perStep = (0.5 * (ridge[from] - ridge[to])) / (to - from);
      return Math.min(1, Math.max(LEAST_TAPER, 1 - (far * perStep) / ridge[to]));
    };
    const at = new Int32Array(steps);
    let here = root;
    for (let k = start; k < steps; k++) {
      let best = NaN;
      let next = here;
      for (let j = here - 1; j <= here + 1; j++) {
        const v = stands(j, k);
        if (v > best || Number.isNaN(best)) {
          best = v;
          next = j;
        }
      }
      here = next;
      ridge[k] = best;
      at[k] = here;
    }
    const back = Math.max(1, Math.round((1.6 * sigmaPx) / stepPx));
    let end = start;
    for (let k = start + 1; k < steps; k++) {
      const before = ridge[Math.max(start, k - back)];
      const half = Math.max(
        0.5 * before * taper(start, k - back, back),
        0.6 * limitAt(at[k] < 0 ? root : Math.min(n - 1, at[k]), k),
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
      if (isStroke(at[k], path.base[at[k]] + k * stepPx) && k * stepPx > 2 * sigmaPx) return null;
      if (k > end + (2 * sigmaPx) / stepPx && !(ridge[k] < Math.max(limitAt(at[k], k), 0.3 * ridge[start])))
        return null;
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

/** Medians over some thousand places of all edges, so that hairs do not count. Null with too few. */
export function meanBeyond(
  edges: readonly {
    readonly stroke: StrokeEdges;
    readonly side: EdgeSide;
    readonly path: SmoothPath;
    readonly counted: Uint8Array;
  }[],
  pxPerMm: number,
): MeanBeyond | null {
  const stepPx = 0.5;
  const steps = Math.ceil((LONGEST_MM * pxPerMm) / stepPx);
  let total = 0;
  for (const { counted } of edges) for (const c of counted) total += c;
  const stride = Math.max(1, Math.floor(total / 3000));
  const room = edges.reduce((sum, { counted }) => sum + Math.ceil(counted.length / stride), 0);
  const columns = Array.from({ length: steps }, () => new Float64Array(room));
  const found = new Int32Array(steps);
  for (const { stroke, side, path, counted } of edges) {
    for (let i = 0; i < counted.length; i += stride) {
      if (counted[i] === 0 || Number.isNaN(path.base[i])) continue;
      for (let k = 0; k < steps; k++) {
        const v = valueAt(stroke, side.side, i, path.base[i] + k * stepPx);
        if (!Number.isNaN(v)) columns[k][found[k]++] = v;
      }
    }
  }
  if (found[0] < 40) return null;
  const mean = new Float64Array(steps);
  const scatter = new Float64Array(steps);
  columns.forEach((column, k) => {
    const values = column.subarray(0, found[k]).sort();
    mean[k] = values[values.length >> 1] ?? 0;
    // From the paler half alone: hairs are in the other.
    const low = values[Math.floor(0.16 * values.length)] ?? 0;
    scatter[k] = Math.max(1e-5, mean[k] - low);
  });
  return { stepPx, mean, scatter };
}

function valueAt(stroke: StrokeEdges, side: -1 | 1, station: number, awayPx: number): number {
  const { data, samples, stepPx, readOuter } = stroke.profiles;
  const at = (samples >> 1) + (side * awayPx) / stepPx;
  const k = Math.floor(at);
  if (!(k >= 0 && k + 1 < samples)) return NaN;
  const part = at - k;
  const row = station * samples + k;
  const value = data[row] + part * (data[row + 1] - data[row]);
  if (!Number.isNaN(value)) return value;
  readOuter(station);
  return data[row] + part * (data[row + 1] - data[row]);
}
