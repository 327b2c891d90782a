/** Curves, bends and what is in doubt of the target, together, by Gauss–Newton with Gaussian priors. */
import { cholesky, solveCholesky } from '../calibrate/cholesky.ts';
import { BEND_TERMS, bendTerms, OFFSET_SD, straightened, type Bend } from './bend.ts';
import type { BendPrior } from './bendPrior.ts';
import { GRID } from './grid.ts';
import type { TargetSpectra } from './printedTarget.ts';

const COUNT = GRID.count;
const WIDTH = 3 * COUNT;
const BENDS = 3 * BEND_TERMS;
const OFFSETS = 3;
type Triple = readonly [number, number, number];

/** Of a print's properties, in unit normals. */
const LONGEST_STEP = 1.5;
/** A step that leads uphill by more than this is gone back on, to this share of it; later ones are shorter, too. */
const UPHILL = { allowed: 0.3, share: 0.4, pace: 0.6 } as const;
/** Before the noise itself, so many times as much: what is far off is not straight. */
const CALM: readonly number[] = [8, 2.5];

export interface CurvePrior {
  readonly mean: Float64Array;
  readonly modes: readonly Float64Array[];
}

/** What a target's patches may reflect: known, or by unknowns that all patches share, unit normals. */
export interface TargetHypothesis {
  readonly name: string;
  readonly count: number;
  readonly at: (z: Float64Array) => TargetSpectra;
}

interface SensorFitOptions {
  /** Of a signal: standard deviation e0 ⊕ e1 · signal. */
  readonly noise: readonly [e0: number, e1: number];
  /** Below these a signal says nothing (cutSignals.ts). */
  readonly black: Triple;
  readonly rounds: number;
  /** Of each channel: beyond these a bend's ends are held. */
  readonly ranges: readonly (readonly [number, number])[];
  readonly bends: BendPrior;
  /** Unknowns to begin with, as an earlier fit left them; null: the prior's middle. */
  readonly from: Float64Array | null;
  /** Given up where the second round's log evidence is less. @default none */
  readonly leastEvidence?: number;
}

export interface SensorFit {
  readonly curves: Float64Array;
  readonly bends: readonly [Bend, Bend, Bend];
  /** Lower factor of the curvature, unknowns in the order: modes of curves, terms of bends, their offsets (of OFFSET_SD), doubts that the target's patches share. */
  readonly factor: Float64Array;
  readonly size: number;
  readonly unknowns: Float64Array;
  /** Log evidence. */
  readonly evidence: number;
}

/**
 * Unknowns are the weights of the prior's modes (curves = mean + Σ z · mode, z unit normal before the target is seen), the terms of three
 * bends, their offsets, and what the target's patches share, from which their spectra follow anew in every round. All patches tell of the bends, since all must obey
 * one set of curves.
 */
export function fitSensors(
  prior: CurvePrior,
  target: TargetHypothesis,
  signals: readonly Triple[],
  { noise, black, rounds, from, ranges: range, bends: bendPrior, leastEvidence = -Infinity }: SensorFitOptions,
): SensorFit {
  const modes = prior.modes.length;
  const bendsFrom = modes;
  const offsetsFrom = bendsFrom + BENDS;
  const targetFrom = offsetsFrom + OFFSETS;
  const size = targetFrom + target.count;
  let u: Float64Array = from !== null ? Float64Array.from(from) : new Float64Array(size);
  if (from === null) u.set(bendPrior.mean, bendsFrom);
  let spectra = target.at(u.subarray(targetFrom));
  const bendsOf = (u: Float64Array): [Bend, Bend, Bend] => {
    const bend = (c: 0 | 1 | 2): Bend => ({
      coefficients: [...u.subarray(bendsFrom + c * BEND_TERMS, bendsFrom + (c + 1) * BEND_TERMS)],
      range: range[c],
      offset: OFFSET_SD * u[offsetsFrom + c],
    });
    return [bend(0), bend(1), bend(2)];
  };
  const rows = new Float64Array(3 * size);
  const white = new Float64Array(3 * size);
  /** What the curves' modes see of each patch, when that does not change. */
  const responses =
    target.count > 0
      ? null
      : spectra.mean.map((r) => prior.modes.map((mode) => [seen(mode, 0, r), seen(mode, 1, r), seen(mode, 2, r)]));
  const calm = target.count > 0 && from === null ? CALM : [];
  const move = (to: Float64Array): void => {
    u = to;
    if (target.count > 0) spectra = target.at(u.subarray(targetFrom));
  };
  let best: Visited | null = null;
  let pace = 1;
  for (let round = 0; round < calm.length + rounds; round++) {
    let cost = 0;
    const bends = bendsOf(u);
    const curves = curvesOf(prior, u);
    const normal = new Float64Array(size * size);
    const right = new Float64Array(size);
    let evidence = 0;
    for (let k = 0; k < size; k++) {
      if (k >= bendsFrom && k < offsetsFrom) continue;
      normal[k * size + k] = 1;
      right[k] = -u[k];
      cost += 0.5 * u[k] * u[k];
    }
    for (let a = 0; a < BENDS; a++) {
      let pull = 0;
      for (let b = 0; b < BENDS; b++) {
        const p = bendPrior.precision[a * BENDS + b];
        if (b <= a) normal[(bendsFrom + a) * size + bendsFrom + b] = p;
        pull += p * (u[bendsFrom + b] - bendPrior.mean[b]);
      }
      right[bendsFrom + a] = -pull;
      cost += 0.5 * pull * (u[bendsFrom + a] - bendPrior.mean[a]);
    }
    evidence += bendPrior.logRoot;
    signals.forEach((signal, i) => {
      const spectrum = spectra.mean[i];
      const straight = straightened(signal, bends);
      const { L, logDeterminant } = noiseFactor(prior.mean, spectra.own[i], signal, noise, black, calm[round] ?? 1);
      const rest = forward(
        L,
        straight[0] - seen(curves, 0, spectrum),
        straight[1] - seen(curves, 1, spectrum),
        straight[2] - seen(curves, 2, spectrum),
      );
      evidence -= logDeterminant;
      cost += 0.5 * (rest[0] ** 2 + rest[1] ** 2 + rest[2] ** 2);
      rows.fill(0);
      for (let k = 0; k < modes; k++) {
        if (responses === null) writeSeen(prior.modes[k], spectrum, rows, k, size);
        else for (let c = 0; c < 3; c++) rows[c * size + k] = responses[i][k][c];
      }
      for (let j = 0; j < target.count; j++) writeSeen(curves, spectra.modes[j][i], rows, targetFrom + j, size);
      for (let c = 0; c < 3; c++) {
        const row = c * size;
        if (signal[c] < black[c]) continue;
        const bentAlone = straight[c] - OFFSET_SD * u[offsetsFrom + c];
        evidence += Math.log(bentAlone / signal[c]);
        const terms = bendTerms(signal[c], bends[c]);
        for (let t = 0; t < BEND_TERMS; t++) rows[row + bendsFrom + c * BEND_TERMS + t] = -bentAlone * terms[t];
        rows[row + offsetsFrom + c] = -OFFSET_SD;
      }
      whiten(L, rows, white, size);
      for (let a = 0; a < size; a++) {
        const r = white[a];
        const g = white[size + a];
        const b = white[2 * size + a];
        right[a] += r * rest[0] + g * rest[1] + b * rest[2];
        const at = a * size;
        for (let k = 0; k <= a; k++) normal[at + k] += r * white[k] + g * white[size + k] + b * white[2 * size + k];
      }
    });
    const factor = cholesky(normal, size);
    evidence -= cost;
    for (let k = 0; k < size; k++) evidence -= Math.log(factor[k * size + k]);
    if (round >= calm.length) {
      if (best === null || cost <= best.cost) best = { unknowns: u, factor, evidence, cost };
      else if (cost > best.cost + UPHILL.allowed) {
        const { unknowns: nearer } = best;
        pace *= UPHILL.pace;
        move(u.map((v, k) => nearer[k] + UPHILL.share * (v - nearer[k])));
        continue;
      }
      if (round === calm.length + 1 && evidence < leastEvidence) break;
    }
    const step = solveCholesky(factor, size, right);
    const longest = step.subarray(targetFrom).reduce((most, v) => Math.max(most, Math.abs(v)), 0);
    const share = Math.min(pace, LONGEST_STEP / longest);
    if (round + 1 < calm.length + rounds) move(u.map((v, k) => v + (k < targetFrom ? pace : share) * step[k]));
  }
  const { unknowns, factor, evidence } = best!;
  return { bends: bendsOf(unknowns), curves: curvesOf(prior, unknowns), factor, size, evidence, unknowns };
}

/** Where a fit has been. */
interface Visited extends Pick<SensorFit, 'unknowns' | 'factor' | 'evidence'> {
  /** Half of all squares: of misfits over their noise, and of unknowns. */
  readonly cost: number;
}

function curvesOf(prior: CurvePrior, u: Float64Array): Float64Array {
  const curves = Float64Array.from(prior.mean);
  prior.modes.forEach((mode, k) => {
    for (let l = 0; l < WIDTH; l++) curves[l] += u[k] * mode[l];
  });
  return curves;
}

/** Of each channel, of what is above black. */
export function signalRanges(signals: readonly Triple[], black: Triple): (readonly [number, number])[] {
  return [0, 1, 2].map((c) => rangeOf(signals.map((signal) => signal[c]).filter((x) => x >= black[c])));
}

function rangeOf(signals: readonly number[]): readonly [number, number] {
  return signals.length === 0 ? [0, 1] : [Math.min(...signals), Math.max(...signals)];
}

/** What channel c (0, 1, 2) of stacked curves sees of a reflectance. */
export function seen(curves: Float64Array, c: number, reflectance: ArrayLike<number>): number {
  let sum = 0;
  const from = c * COUNT;
  for (let l = 0; l < COUNT; l++) sum += curves[from + l] * reflectance[l];
  return sum;
}

/** What all three channels see of a reflectance, into column `at` of three rows: three sums at once are quicker, and the same to the last bit. */
function writeSeen(
  curves: Float64Array,
  reflectance: Float64Array,
  rows: Float64Array,
  at: number,
  size: number,
): void {
  let red = 0;
  let green = 0;
  let blue = 0;
  for (let l = 0; l < COUNT; l++) {
    const r = reflectance[l];
    red += curves[l] * r;
    green += curves[COUNT + l] * r;
    blue += curves[2 * COUNT + l] * r;
  }
  rows[at] = red;
  rows[size + at] = green;
  rows[2 * size + at] = blue;
}

const by = new Float64Array(3);

/** Lower factor of a patch's 3 × 3 noise: the scan's own, and what is not known of this patch alone. @param wider factor on it */
function noiseFactor(
  curves: Float64Array,
  own: readonly Float64Array[],
  signal: Triple,
  [e0, e1]: readonly [number, number],
  black: Triple,
  wider: number,
): { L: Float64Array; logDeterminant: number } {
  const n = new Float64Array(9);
  for (let c = 0; c < 3; c++) n[4 * c] = signal[c] < black[c] ? 1 : e0 * e0 + (e1 * signal[c]) ** 2 + 1e-9;
  for (const mode of own) {
    writeSeen(curves, mode, by, 0, 1);
    for (let a = 0; a < 3; a++) for (let b = 0; b < 3; b++) n[3 * a + b] += by[a] * by[b];
  }
  for (let k = 0; k < n.length; k++) n[k] = n[k] * wider * wider;
  const L = cholesky(n, 3);
  return { L, logDeterminant: Math.log(L[0]) + Math.log(L[4]) + Math.log(L[8]) };
}

function forward(L: Float64Array, x: number, y: number, z: number): [number, number, number] {
  const a = x / L[0];
  const b = (y - L[3] * a) / L[4];
  return [a, b, (z - L[6] * a - L[7] * b) / L[8]];
}

function whiten(L: Float64Array, rows: Float64Array, out: Float64Array, size: number): void {
  for (let k = 0; k < size; k++) {
    const a = rows[k] / L[0];
    const b = (rows[size + k] - L[3] * a) / L[4];
    out[k] = a;
    out[size + k] = b;
    out[2 * size + k] = (rows[2 * size + k] - L[6] * a - L[7] * b) / L[8];
  }
}
