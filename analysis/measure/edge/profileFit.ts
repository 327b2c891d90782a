/**
 * What the mean profile across an edge is made of: paper and ink with one blurred step between them, or paper, ring and ink
 * with two. Places and blurs are searched for; the levels of all channels follow from them by least squares.
 */
import type { MeanProfile } from './meanProfile.ts';
import { normalSum } from '../../normalCurve.ts';

export interface ProfileFit {
  /** Where the ink's edge lies, px from the crossing, positive inwards. */
  readonly edgePx: number;
  /** Sigma of that edge's whole blur, px. */
  readonly sigmaPx: number;
  /** The ring's outer edge likewise; null in a fit of one step. */
  readonly ringPx: number | null;
  readonly ringSigmaPx: number;
  /** Levels of the three channels' ratio and of the contrast. */
  readonly paper: readonly number[];
  readonly ring: readonly number[] | null;
  readonly ink: readonly number[];
  /** Mean square of what is left, of the fitted channels together. */
  readonly misfit: number;
}

/** Profile to be fitted: places that count, values by channel. */
export interface FitData {
  readonly at: Float64Array;
  /** The three channels' ratio and the contrast. */
  readonly values: readonly Float64Array[];
  /** Channels whose misfit counts; levels are told of all. */
  readonly fitted: readonly number[];
  readonly place: Float64Array;
  readonly lineWidthPx: number;
}

export const BY_CHANNELS = [0, 1, 2] as const;
export const BY_CONTRAST = [3] as const;

/** Places that fewer of the edges than this share reach are not looked at. */
const LEAST_REACH = 0.25;

/**
 * The profile's places from `insidePx` within the edge to `outsidePx` beyond it. @param fitted Channels whose misfit counts: BY_CHANNELS
 * or BY_CONTRAST. @param leastReach of the place that most edges reach, 0..1
 */
export function fitData(
  profile: Pick<MeanProfile, 'channels' | 'contrast' | 'counts'> & Pick<MeanProfile, 'atPx' | 'lineWidthPx'>,
  fitted: readonly number[],
  outsidePx: number,
  insidePx: number,
  leastReach = LEAST_REACH,
): FitData {
  const { atPx, counts, channels, contrast, lineWidthPx } = profile;
  let most = 0;
  for (const n of counts) most = Math.max(most, n);
  const used: number[] = [];
  for (let k = 0; k < atPx.length; k++) {
    if (atPx[k] >= -outsidePx && atPx[k] <= insidePx && counts[k] >= leastReach * most) used.push(k);
  }
  const of = (column: Float64Array) => Float64Array.from(used, (k) => column[k]);
  // Few edges reach far out where strokes lie close: they count for less.
  const place = Float64Array.from(used, (k) => counts[k] / most);
  return { at: of(atPx), values: [...channels, contrast].map(of), fitted, place, lineWidthPx };
}

/** One step. @param start edge and sigma, px. */
export function fitOneStep(data: FitData, start: readonly [edge: number, sigma: number]): ProfileFit {
  const step = new Float64Array(data.at.length);
  const found = descend(start, [0.3, 0.2], (p) => {
    stepAt(data, p[0], p[1], step);
    return misfitOf(data, step, null);
  });
  const [edge, sigma] = [found[0], Math.abs(found[1])];
  stepAt(data, edge, sigma, step);
  const levels = data.values.map((values) => levelsOf(data.place, values, step, null).slice());
  return {
    edgePx: edge,
    sigmaPx: sigma,
    ringPx: null,
    ringSigmaPx: sigma,
    paper: levels.map((l) => l[0]),
    ring: null,
    ink: levels.map((l) => l[0] + l[1]),
    misfit: misfitOf(data, step, null),
  };
}

/** Two steps. @param start edge, sigma, the ring's width and its outer edge's sigma, px. @param isOneBlur Both steps have the first one's sigma. */
export function fitTwoSteps(
  data: FitData,
  start: readonly [number, number, number, number],
  tolerance = TOLERANCE,
  isOneBlur = false,
): ProfileFit {
  const outer = new Float64Array(data.at.length);
  const inner = new Float64Array(data.at.length);
  const ringSigmaOf = (p: ArrayLike<number>) => Math.abs(isOneBlur ? p[1] : p[3]);
  const lay = (p: ArrayLike<number>): void => {
    stepAt(data, p[0] - Math.abs(p[2]), ringSigmaOf(p), outer);
    stepAt(data, p[0], p[1], inner);
  };
  const cost = (p: ArrayLike<number>) => {
    // An outer edge is never sharper than the ink's own blur by much, nor wider than the ring itself.
    const sigma = Math.abs(p[1]);
    const ringSigma = ringSigmaOf(p);
    const over = Math.max(0, 0.8 * sigma - ringSigma) + Math.max(0, ringSigma - sigma - 0.5 * Math.abs(p[2]));
    lay(p);
    return misfitOf(data, outer, inner) * (1 + over * over);
  };
  const found = descend(start, [0.3, 0.15, 1, 0.3], cost, tolerance);
  lay(found);
  const levels = data.values.map((values) => levelsOf(data.place, values, outer, inner).slice());
  return {
    edgePx: found[0],
    sigmaPx: Math.abs(found[1]),
    ringPx: found[0] - Math.abs(found[2]),
    ringSigmaPx: ringSigmaOf(found),
    paper: levels.map((l) => l[0]),
    ring: levels.map((l) => l[0] + l[1]),
    ink: levels.map((l) => l[0] + l[1] + l[2]),
    misfit: misfitOf(data, outer, inner),
  };
}

/** The model's values at the data's places. */
export function fittedValues(data: FitData, fit: ProfileFit, channel: number): number[] {
  const ring = fit.ring ?? fit.paper;
  const outer = new Float64Array(data.at.length);
  const inner = new Float64Array(data.at.length);
  stepAt(data, fit.ringPx ?? fit.edgePx, fit.ringSigmaPx, outer);
  stepAt(data, fit.edgePx, fit.sigmaPx, inner);
  return Array.from(
    outer,
    (o, k) =>
      fit.paper[channel] + (ring[channel] - fit.paper[channel]) * o + (fit.ink[channel] - ring[channel]) * inner[k],
  );
}

/** A step at `edge`, and on a line's far side back again. */
function stepAt(data: FitData, edge: number, sigma: number, out: Float64Array): void {
  const s = Math.max(0.05, Math.abs(sigma));
  const far = data.lineWidthPx - edge;
  const { at } = data;
  for (let k = 0; k < at.length; k++) out[k] = normalSum((at[k] - edge) / s) - normalSum((at[k] - far) / s);
}

/** Mean square that least squares of every fitted channel on a constant and the steps leave, weighted by place. */
function misfitOf({ values, fitted, place }: FitData, first: Float64Array, second: Float64Array | null): number {
  let misfit = 0;
  for (const c of fitted) {
    const level = levelsOf(place, values[c], first, second);
    misfit += squaresLeft(place, values[c], level, first, second);
  }
  let total = 0;
  for (let k = 0; k < place.length; k++) total += place[k];
  return misfit / total;
}

/** What `levelsOf` found last: it is asked some thousand times. */
const found = new Float64Array(3);

/** Levels of paper and of what the steps add, by Gauss's elimination of the two or three normal equations. */
function levelsOf(
  place: Float64Array,
  values: Float64Array,
  first: Float64Array,
  second: Float64Array | null,
): Float64Array {
  let n = 0, a = 0, b = 0, aa = 0, ab = 0, bb = 0, v = 0, av = 0, bv = 0; // prettier-ignore
  for (let k = 0; k < place.length; k++) {
    const w = place[k];
    const wa = w * first[k];
    n += w;
    a += wa;
    aa += wa * first[k];
    v += w * values[k];
    av += wa * values[k];
    if (second === null) continue;
    const wb = w * second[k];
    b += wb;
    ab += wa * second[k];
    bb += wb * second[k];
    bv += wb * values[k];
  }
  const a1 = aa * (1 + RIDGE) - (a * a) / n;
  const av1 = av - (a * v) / n;
  if (second === null) {
    found[2] = 0;
    found[1] = av1 / a1;
  } else {
    const ab1 = ab - (a * b) / n;
    const bb1 = bb * (1 + RIDGE) - (b * b) / n;
    const bv1 = bv - (b * v) / n;
    found[2] = (bv1 - (ab1 / a1) * av1) / (bb1 - (ab1 / a1) * ab1);
    found[1] = (av1 - ab1 * found[2]) / a1;
  }
  found[0] = (v - a * found[1] - b * found[2]) / n;
  return found;
}

/** Keeps the equations apart where two steps are one. */
const RIDGE = 1e-9;

function squaresLeft(
  place: Float64Array,
  values: Float64Array,
  level: Float64Array,
  first: Float64Array,
  second: Float64Array | null,
): number {
  const paper = level[0];
  const onFirst = level[1];
  const onSecond = level[2];
  let sum = 0;
  for (let k = 0; k < values.length; k++) {
    const off = values[k] - paper - onFirst * first[k] - (second === null ? 0 : onSecond * second[k]);
    sum += place[k] * off * off;
  }
  return sum;
}

/** Relative difference of the costs of a simplex that has come to rest. */
const TOLERANCE = 1e-9;

/** Nelder & Mead's simplex (1965, Computer Journal 7, 308–313) with their coefficients 1, 2, ½, ½. */
function descend(
  start: readonly number[],
  steps: readonly number[],
  cost: (p: ArrayLike<number>) => number,
  tolerance = TOLERANCE,
): Float64Array {
  const n = start.length;
  const corners = Array.from({ length: n + 1 }, (_, i) => {
    const p = Float64Array.from(start);
    if (i > 0) p[i - 1] += steps[i - 1];
    return { p, f: cost(p) };
  });
  const middle = new Float64Array(n);
  const tried = new Float64Array(n);
  const second = new Float64Array(n);
  for (let round = 0; round < 90 * n; round++) {
    corners.sort((a, b) => a.f - b.f);
    const best = corners[0];
    const worst = corners[n];
    if (worst.f - best.f <= tolerance * (Math.abs(best.f) + 1e-12)) break;
    for (let k = 0; k < n; k++) {
      let sum = 0;
      for (let i = 0; i < n; i++) sum += corners[i].p[k];
      middle[k] = sum / n;
    }
    const mirrored = costAt(-1, tried);
    if (mirrored < best.f) {
      const farther = costAt(-2, second);
      if (farther < mirrored) replace(second, farther);
      else replace(tried, mirrored);
    } else if (mirrored < corners[n - 1].f) replace(tried, mirrored);
    else {
      const nearer = costAt(mirrored < worst.f ? -0.5 : 0.5, second);
      if (nearer < Math.min(mirrored, worst.f)) replace(second, nearer);
      else {
        for (let i = 1; i <= n; i++) {
          const corner = corners[i];
          for (let k = 0; k < n; k++) corner.p[k] = (corner.p[k] + best.p[k]) / 2;
          corner.f = cost(corner.p);
        }
      }
    }

    function costAt(t: number, p: Float64Array): number {
      for (let k = 0; k < n; k++) p[k] = middle[k] + t * (worst.p[k] - middle[k]);
      return cost(p);
    }
    function replace(p: Float64Array, f: number): void {
      worst.p.set(p);
      worst.f = f;
    }
  }
  corners.sort((a, b) => a.f - b.f);
  return corners[0].p;
}
