/**
 * What the mean profile across an edge is made of: paper and ink with one blurred step between them, or paper, ring and ink
 * with two. Places and blurs are searched for; the levels of all channels follow from them by least squares.
 */
import type { MeanProfile } from './meanProfile.ts';
import { normalSum } from './normalCurve.ts';

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
  /** Weighted mean square of what is left, in squares of `noise`. */
  readonly misfit: number;
}

/** Profile to be fitted: places that count, values by channel. */
export interface FitData {
  readonly at: readonly number[];
  readonly values: readonly (readonly number[])[];
  /** Weight of each channel: one over its noise squared. */
  readonly weights: readonly number[];
  readonly place: readonly number[];
  readonly lineWidthPx: number;
}

/** @param noise Of the three channels, relative, a pixel. The contrast is read along, with no weight of its own. */
export function fitData(
  profile: Pick<MeanProfile, 'channels' | 'contrast' | 'counts'> & Pick<MeanProfile, 'atPx' | 'lineWidthPx'>,
  noise: readonly number[],
  outsidePx: number,
  insidePx: number,
): FitData {
  const most = Math.max(...profile.counts);
  const at: number[] = [];
  const place: number[] = [];
  const values: number[][] = [[], [], [], []];
  profile.atPx.forEach((d, k) => {
    if (d < -outsidePx || d > insidePx || profile.counts[k] < 0.25 * most) return;
    at.push(d);
    // Few edges reach far out where strokes lie close: they count for less.
    place.push(profile.counts[k] / most);
    for (let c = 0; c < 3; c++) values[c].push(profile.channels[c][k]);
    values[3].push(profile.contrast[k]);
  });
  return { at, values, weights: [...noise.map((s) => 1 / (s * s)), 0], place, lineWidthPx: profile.lineWidthPx };
}

/** One step. @param start edge and sigma, px. */
export function fitOneStep(data: FitData, start: readonly [edge: number, sigma: number]): ProfileFit {
  const best = descend(start, [0.3, 0.2], ([edge, sigma]) => levelsOf(data, [stepAt(data, edge, sigma)]).misfit);
  const [edge, sigma] = [best[0], Math.abs(best[1])];
  const { levels, misfit } = levelsOf(data, [stepAt(data, edge, sigma)]);
  return {
    edgePx: edge,
    sigmaPx: sigma,
    ringPx: null,
    ringSigmaPx: sigma,
    paper: levels.map((l) => l[0]),
    ring: null,
    ink: levels.map((l) => l[0] + l[1]),
    misfit,
  };
}

/** Two steps. @param start edge, sigma, the ring's width and its outer edge's sigma, px. */
export function fitTwoSteps(data: FitData, start: readonly [number, number, number, number]): ProfileFit {
  const basis = ([edge, sigma, ring, ringSigma]: readonly number[]) => {
    const outer = stepAt(data, edge - Math.abs(ring), Math.abs(ringSigma));
    return [outer, stepAt(data, edge, Math.abs(sigma))];
  };
  const cost = (p: readonly number[]) => {
    // An outer edge is never sharper than the ink's own blur by much, nor wider than the ring itself.
    const [, sigma, ring, ringSigma] = p.map(Math.abs);
    const over = Math.max(0, 0.8 * sigma - ringSigma) + Math.max(0, ringSigma - sigma - 0.5 * ring);
    return levelsOf(data, basis(p)).misfit * (1 + over * over);
  };
  const best = descend(start, [0.3, 0.15, 1, 0.3], cost);
  const [edge, sigma, ring, ringSigma] = [best[0], Math.abs(best[1]), Math.abs(best[2]), Math.abs(best[3])];
  const { levels, misfit } = levelsOf(data, basis(best));
  return {
    edgePx: edge,
    sigmaPx: sigma,
    ringPx: edge - ring,
    ringSigmaPx: ringSigma,
    paper: levels.map((l) => l[0]),
    ring: levels.map((l) => l[0] + l[1]),
    ink: levels.map((l) => l[0] + l[1] + l[2]),
    misfit,
  };
}

/** The model's values at the data's places. */
export function fittedValues(data: FitData, fit: ProfileFit, channel: number): number[] {
  const ring = fit.ring ?? fit.paper;
  const outer = stepAt(data, fit.ringPx ?? fit.edgePx, fit.ringSigmaPx);
  const inner = stepAt(data, fit.edgePx, fit.sigmaPx);
  return data.at.map(
    (_, k) =>
      fit.paper[channel] +
      (ring[channel] - fit.paper[channel]) * outer[k] +
      (fit.ink[channel] - ring[channel]) * inner[k],
  );
}

/** A step at `edge`, and on a line's far side back again. */
function stepAt(data: FitData, edge: number, sigma: number): Float64Array {
  const s = Math.max(0.05, Math.abs(sigma));
  const far = data.lineWidthPx - edge;
  const { at } = data;
  const out = new Float64Array(at.length);
  for (let k = 0; k < out.length; k++) out[k] = normalSum((at[k] - edge) / s) - normalSum((at[k] - far) / s);
  return out;
}

/** Least squares of every channel on a constant and the steps. */
function levelsOf(data: FitData, steps: readonly Float64Array[]): { levels: number[][]; misfit: number } {
  const { place } = data;
  const basis = [new Float64Array(place.length).fill(1), ...steps];
  const n = basis.length;
  const normal = basis.map((a) => basis.map((b) => weightedProduct(place, a, b)));
  for (let i = 0; i < n; i++) normal[i][i] *= 1 + 1e-9;
  let misfit = 0;
  const total = weightedProduct(place, basis[0], basis[0]);
  const levels = data.values.map((values, c) => {
    const level = solve(
      normal,
      basis.map((a) => weightedProduct(place, a, values)),
    );
    if (data.weights[c] > 0) misfit += (data.weights[c] * squaresLeft(place, values, level, basis)) / total;
    return level;
  });
  return { levels, misfit };
}

function weightedProduct(weight: readonly number[], a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let k = 0; k < weight.length; k++) sum += weight[k] * a[k] * b[k];
  return sum;
}

function squaresLeft(
  weight: readonly number[],
  values: readonly number[],
  [paper, first, second = 0]: readonly number[],
  basis: readonly Float64Array[],
): number {
  const outer = basis[1];
  const inner = basis[basis.length - 1];
  let sum = 0;
  for (let k = 0; k < values.length; k++) {
    const off = values[k] - paper - first * outer[k] - second * inner[k];
    sum += weight[k] * off * off;
  }
  return sum;
}

/** Gauss's elimination of two or three unknowns. */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const n = right.length;
  const a = matrix.map((row, i) => [...row, right[i]]);
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const f = a[j][i] / a[i][i];
      for (let k = i; k <= n; k++) a[j][k] -= f * a[i][k];
    }
  }
  const x = Array.from({ length: n }, () => 0);
  for (let i = n - 1; i >= 0; i--) {
    let sum = a[i][n];
    for (let k = i + 1; k < n; k++) sum -= a[i][k] * x[k];
    x[i] = sum / a[i][i];
  }
  return x;
}

/** Nelder & Mead's simplex (1965, Computer Journal 7, 308–313) with their coefficients 1, 2, ½, ½. */
function descend(start: readonly number[], steps: readonly number[], cost: (p: readonly number[]) => number): number[] {
  const n = start.length;
  let simplex = [start, ...steps.map((s, i) => start.map((v, k) => (k === i ? v + s : v)))].map((p) => ({
    p: [...p],
    f: cost(p),
  }));
  for (let round = 0; round < 90 * n; round++) {
    simplex = simplex.toSorted((a, b) => a.f - b.f);
    const best = simplex[0];
    const worst = simplex[n];
    if (worst.f - best.f <= 1e-9 * (Math.abs(best.f) + 1e-12)) break;
    const middle = start.map((_, k) => simplex.slice(0, n).reduce((sum, v) => sum + v.p[k], 0) / n);
    const at = (t: number) => {
      const p = middle.map((m, k) => m + t * (worst.p[k] - m));
      return { p, f: cost(p) };
    };
    const mirrored = at(-1);
    if (mirrored.f < best.f) {
      const farther = at(-2);
      simplex[n] = farther.f < mirrored.f ? farther : mirrored;
    } else if (mirrored.f < simplex[n - 1].f) simplex[n] = mirrored;
    else {
      const nearer = mirrored.f < worst.f ? at(-0.5) : at(0.5);
      if (nearer.f < Math.min(mirrored.f, worst.f)) simplex[n] = nearer;
      else {
        simplex = simplex.map((v, i) => {
          if (i === 0) return v;
          const p = v.p.map((x, k) => (x + best.p[k]) / 2);
          return { p, f: cost(p) };
        });
      }
    }
  }
  return simplex.toSorted((a, b) => a.f - b.f)[0].p;
}
