/** Curves as a few Gaussians, by expectation and maximisation: one Gaussian would fill the ground between kinds that no ink is of. */
import { cholesky } from '../../analysis/calibrate/cholesky.ts';
import { principalModes } from '../../analysis/film/smoothModes.ts';
import { Matrix } from 'ml-matrix';
import { modesOf } from './modesOf.ts';

export interface Component {
  readonly share: number;
  readonly mean: Float64Array;
  /** Independent unit normals times these, strongest first. */
  readonly modes: readonly Float64Array[];
}

export interface Mixture {
  readonly components: readonly Component[];
  /** Which component each curve belongs to most. */
  readonly owners: readonly number[];
}

export interface MixtureOptions {
  readonly count: number;
  readonly modes: number;
  readonly rounds: number;
  /** As many curves' weight pulls each component towards the covariance of all, this much of it. */
  readonly pull: number;
  readonly pullShare: number;
}

export function mixtureOf(curves: readonly Float64Array[], options: MixtureOptions, random: () => number): Mixture {
  const all = modesOf(curves, options.modes);
  const size = options.modes;
  const lengths = all.modes.map((mode) => Math.sqrt(dot(mode, mode)));
  const axes = all.modes.map((mode, k) => mode.map((v) => v / lengths[k]));
  const points = curves.map((curve) => {
    const away = curve.map((v, l) => v - all.mean[l]);
    return Float64Array.from(axes, (axis) => dot(axis, away));
  });
  let shares: Float64Array[] = startShares(points, options.count, random);
  let gaussians: Gaussian[] = [];
  for (let round = 0; round < options.rounds; round++) {
    gaussians = shares.map((share) => gaussianOf(points, share, lengths, options));
    shares = expected(points, gaussians);
  }
  const components = gaussians.map(({ weight, mean, covariance }): Component => {
    const curve = Float64Array.from(all.mean);
    axes.forEach((axis, k) => {
      for (let l = 0; l < curve.length; l++) curve[l] += mean[k] * axis[l];
    });
    const full = new Matrix(Array.from({ length: size }, (_, a) => [...covariance.subarray(a * size, (a + 1) * size)]));
    const modes = principalModes(full, size).map((own) => {
      const mode = new Float64Array(curve.length);
      axes.forEach((axis, k) => {
        for (let l = 0; l < mode.length; l++) mode[l] += own[k] * axis[l];
      });
      return mode;
    });
    return { share: weight, mean: curve, modes };
  });
  const owners = points.map((_, i) => shares.reduce((best, share, c) => (share[i] > shares[best][i] ? c : best), 0));
  return { components, owners };
}

interface Gaussian {
  readonly weight: number;
  readonly mean: Float64Array;
  readonly covariance: Float64Array;
}

/** Far from one another (k-means++), then whole points to the nearest, three times. */
function startShares(points: readonly Float64Array[], count: number, random: () => number): Float64Array[] {
  const centres = [points[Math.floor(random() * points.length)]];
  const away = points.map((p) => distance(p, centres[0]));
  while (centres.length < count) {
    let left = random() * away.reduce((a, b) => a + b, 0);
    let next = 0;
    while (next < points.length - 1 && (left -= away[next]) > 0) next++;
    centres.push(points[next]);
    points.forEach((p, i) => (away[i] = Math.min(away[i], distance(p, points[next]))));
  }
  let shares: Float64Array[] = [];
  for (let round = 0; round < 4; round++) {
    shares = centres.map(() => new Float64Array(points.length));
    points.forEach((p, i) => {
      let best = 0;
      let least = Infinity;
      centres.forEach((c, n) => {
        const d = distance(p, c);
        if (d < least) [best, least] = [n, d];
      });
      shares[best][i] = 1;
    });
    shares.forEach((share, n) => {
      const sum = share.reduce((a, b) => a + b, 0);
      if (sum === 0) return;
      const mean = new Float64Array(points[0].length);
      points.forEach((p, i) => {
        if (share[i] > 0) for (let k = 0; k < mean.length; k++) mean[k] += p[k] / sum;
      });
      centres[n] = mean;
    });
  }
  return shares;
}

function gaussianOf(
  points: readonly Float64Array[],
  share: Float64Array,
  lengths: readonly number[],
  options: MixtureOptions,
): Gaussian {
  const size = lengths.length;
  const sum = share.reduce((a, b) => a + b, 0);
  const mean = new Float64Array(size);
  points.forEach((p, i) => {
    if (share[i] > LEAST_SHARE) for (let k = 0; k < size; k++) mean[k] += (share[i] * p[k]) / sum;
  });
  const covariance = new Float64Array(size * size);
  const away = new Float64Array(size);
  points.forEach((p, i) => {
    if (share[i] <= LEAST_SHARE) return;
    for (let k = 0; k < size; k++) away[k] = p[k] - mean[k];
    for (let a = 0; a < size; a++) {
      const v = share[i] * away[a];
      for (let b = 0; b <= a; b++) covariance[a * size + b] += v * away[b];
    }
  });
  const { pull } = options;
  for (let a = 0; a < size; a++) {
    covariance[a * size + a] += pull * options.pullShare * lengths[a] ** 2;
    for (let b = 0; b <= a; b++) {
      covariance[a * size + b] /= sum + pull;
      covariance[b * size + a] = covariance[a * size + b];
    }
  }
  return { weight: sum / points.length, mean, covariance };
}

const LEAST_SHARE = 1e-3;

function expected(points: readonly Float64Array[], gaussians: readonly Gaussian[]): Float64Array[] {
  const size = points[0].length;
  const known = gaussians.map(({ weight, mean, covariance }) => {
    const L = cholesky(covariance, size);
    let log = Math.log(weight + 1e-12);
    for (let k = 0; k < size; k++) log -= Math.log(L[k * size + k]);
    return { L, mean, log };
  });
  const shares = gaussians.map(() => new Float64Array(points.length));
  const solved = new Float64Array(size);
  points.forEach((p, i) => {
    let most = -Infinity;
    known.forEach(({ L, mean, log }, n) => {
      let value = log;
      for (let a = 0; a < size; a++) {
        let v = p[a] - mean[a];
        for (let b = 0; b < a; b++) v -= L[a * size + b] * solved[b];
        solved[a] = v / L[a * size + a];
        value -= 0.5 * solved[a] * solved[a];
      }
      shares[n][i] = value;
      most = Math.max(most, value);
    });
    let sum = 0;
    for (const share of shares) sum += share[i] = Math.exp(share[i] - most);
    for (const share of shares) share[i] /= sum;
  });
  return shares;
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

function distance(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] - b[i]) ** 2;
  return sum;
}
