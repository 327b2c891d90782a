/**
 * What a scanner's three channels see, estimated from a target of known spectra: prior curves by lamp class (priors/sensorTable.ts)
 * and Bayes' rule for Gaussians. The curves may be negative in places, since drivers apply a matrix.
 */
import { cholesky, solveCholesky } from '../calibrate/cholesky.ts';
import { GRID } from './grid.ts';
import type { PatchSpectrum } from './patchSpectra.ts';
import { floatRows } from './encoded.ts';
import { SENSORS } from './priors/sensorTable.ts';
import { BEND_SD, BEND_TERMS, bendTerms, straightened, type Bend } from './bend.ts';

const COUNT = GRID.count;

export type LampClass = keyof typeof SENSORS;
type Triple = readonly [number, number, number];

/** A patch as seen: linear signals (perfect white about 1), and what is known of its reflectance. */
export interface SeenPatch {
  readonly signal: Triple;
  readonly grey: boolean;
  readonly spectrum: PatchSpectrum;
}

export interface Sensors {
  /** Red, green, blue over the grid, 108 values: signal c of a reflectance r is Σ r[l] · curves[36 c + l]. */
  readonly curves: Float64Array;
  /** How the curves may be off: independent unit normals times these (108 values each), strongest first. */
  readonly doubt: readonly Float64Array[];
  readonly lamp: LampClass;
  /** What brings the calibration's linear signals to these sensors': greys are not flat, so neither is what they were made straight by. */
  readonly bends: readonly [Bend, Bend, Bend];
  /** Log evidence of the chosen class and noise; comparable within one target only. */
  readonly evidence: number;
  /** Noise of a signal that the target bears out: standard deviation e0 ⊕ e1 · signal. */
  readonly noise: readonly [e0: number, e1: number];
}

/** Noise levels tried: [at black, share of the signal]. */
const NOISES: readonly (readonly [number, number])[] = [
  [2e-4, 0],
  [6e-4, 0.002],
  [1e-3, 0.006],
  [1e-3, 0.015],
  [1.5e-3, 0.03],
];
/** A signal below this may have been cut at black by the device: it says nothing. */
export const BLACK = 0.004;
const ROUNDS = 6;
export const DOUBT_MODES = 16;
const WIDTH = 3 * COUNT;

interface Prior {
  readonly mean: Float64Array;
  readonly modes: readonly Float64Array[];
}
const LAMPS: readonly LampClass[] = ['LED', 'lines', 'smooth'];
let priors: ReadonlyMap<LampClass, Prior> | null = null;

function priorOf(lamp: LampClass): Prior {
  priors ??= new Map(
    LAMPS.map((name) => {
      const [mean, ...modes] = floatRows(SENSORS[name], WIDTH);
      return [name, { mean, modes }];
    }),
  );
  return priors.get(lamp)!;
}

/** @param patches a dozen or more; clipped ones left out by the caller */
export function estimateSensors(patches: readonly SeenPatch[]): Sensors {
  let best: Estimate | null = null;
  for (const lamp of LAMPS) {
    for (const noise of NOISES) {
      const one = estimateFor(lamp, noise, patches);
      if (best === null || one.evidence > best.evidence) best = one;
    }
  }
  const { factor, ...estimate } = best!;
  return { ...estimate, doubt: doubtOf(priorOf(estimate.lamp), factor) };
}

interface Estimate extends Omit<Sensors, 'doubt'> {
  readonly factor: Float64Array;
}

/**
 * Curves and bends together, by Gauss–Newton: unknowns are the weights of the prior's modes (curves = mean + Σ z · mode, z unit normal before
 * the target is seen) and the terms of three bends. All patches tell of the bends, since all must obey one set of curves.
 */
function estimateFor(lamp: LampClass, noise: readonly [number, number], patches: readonly SeenPatch[]): Estimate {
  const prior = priorOf(lamp);
  const modes = prior.modes.length;
  const size = modes + 3 * BEND_TERMS;
  const responses = patches.map(({ spectrum }) =>
    Float64Array.from({ length: 3 * modes }, (_, i) =>
      seen(prior.modes[i % modes], Math.floor(i / modes), spectrum.mean),
    ),
  );
  const factors = patches.map(({ spectrum, signal }) => noiseFactor(prior.mean, spectrum, signal, noise));
  const range = [0, 1, 2].map((c) => rangeOf(patches.map(({ signal }) => signal[c]).filter((x) => x >= BLACK)));
  const bendsOf = (u: Float64Array): [Bend, Bend, Bend] => {
    const bend = (c: 0 | 1 | 2): Bend => ({
      coefficients: [...u.subarray(modes + c * BEND_TERMS, modes + (c + 1) * BEND_TERMS)],
      range: range[c],
    });
    return [bend(0), bend(1), bend(2)];
  };
  let u: Float64Array = new Float64Array(size);
  let factor: Float64Array = new Float64Array(0);
  let evidence = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const bends = bendsOf(u);
    const curves = curvesOf(prior, u);
    const normal = new Float64Array(size * size);
    const right = new Float64Array(size);
    evidence = 0;
    for (let k = 0; k < size; k++) {
      const sd = k < modes ? 1 : BEND_SD[(k - modes) % BEND_TERMS];
      normal[k * size + k] = 1 / (sd * sd);
      right[k] = -u[k] / (sd * sd);
      evidence -= 0.5 * (u[k] / sd) ** 2 + Math.log(sd);
    }
    patches.forEach(({ spectrum, signal }, i) => {
      const straight = straightened(signal, bends);
      const { L, logDeterminant } = factors[i];
      const rest = forward(
        L,
        [0, 1, 2].map((c) => straight[c] - seen(curves, c, spectrum.mean)),
      );
      evidence -= logDeterminant + 0.5 * (rest[0] ** 2 + rest[1] ** 2 + rest[2] ** 2);
      const rows = new Float64Array(3 * size);
      for (let c = 0; c < 3; c++) {
        rows.set(responses[i].subarray(c * modes, (c + 1) * modes), c * size);
        if (signal[c] < BLACK) continue;
        evidence += Math.log(straight[c] / signal[c]);
        bendTerms(signal[c], bends[c]).forEach(
          (term, t) => (rows[c * size + modes + c * BEND_TERMS + t] = -straight[c] * term),
        );
      }
      const white = whitened(L, rows, size);
      for (let c = 0; c < 3; c++) {
        for (let a = 0; a < size; a++) {
          const value = white[c * size + a];
          if (value === 0) continue;
          right[a] += value * rest[c];
          for (let b = 0; b <= a; b++) normal[a * size + b] += value * white[c * size + b];
        }
      }
    });
    factor = cholesky(normal, size);
    for (let k = 0; k < size; k++) evidence -= Math.log(factor[k * size + k]);
    if (round === ROUNDS - 1) break;
    const step = solveCholesky(factor, size, right);
    u = u.map((v, k) => v + step[k]);
  }
  return { lamp, noise, bends: bendsOf(u), curves: curvesOf(prior, u), factor, evidence };
}

function curvesOf(prior: Prior, u: Float64Array): Float64Array {
  const curves = Float64Array.from(prior.mean);
  prior.modes.forEach((mode, k) => {
    for (let l = 0; l < WIDTH; l++) curves[l] += u[k] * mode[l];
  });
  return curves;
}

function rangeOf(signals: readonly number[]): readonly [number, number] {
  return signals.length === 0 ? [0, 1] : [Math.min(...signals), Math.max(...signals)];
}

/** Strongest directions of the posterior: by power iteration on U M⁻¹ Uᵀ, which needs no eigenvalues of 108 × 108. */
function doubtOf(prior: Prior, factor: Float64Array): Float64Array[] {
  const modes = prior.modes.length;
  const size = modes + 3 * BEND_TERMS;
  const found: Float64Array[] = [];
  for (let n = 0; n < DOUBT_MODES; n++) {
    let v: Float64Array = Float64Array.from({ length: WIDTH }, (_, l) => Math.sin((l + 1) * (n + 1.7)));
    let length = 0;
    for (let turn = 0; turn < 30; turn++) {
      const u = new Float64Array(size);
      prior.modes.forEach((mode, k) => (u[k] = dot(mode, v)));
      const w = solveCholesky(factor, size, u);
      const next = new Float64Array(WIDTH);
      for (let k = 0; k < modes; k++) for (let l = 0; l < WIDTH; l++) next[l] += w[k] * prior.modes[k][l];
      for (const before of found) {
        const size = dot(before, before);
        const along = size > 0 ? dot(before, next) / size : 0;
        for (let l = 0; l < WIDTH; l++) next[l] -= along * before[l];
      }
      length = Math.sqrt(dot(next, next));
      if (length === 0) break;
      v = next.map((value) => value / length);
    }
    found.push(v.map((value) => value * Math.sqrt(length)));
  }
  return found;
}

/** What channel c (0, 1, 2) of stacked curves sees of a reflectance. */
export function seen(curves: Float64Array, c: number, reflectance: ArrayLike<number>): number {
  let sum = 0;
  const from = c * COUNT;
  for (let l = 0; l < COUNT; l++) sum += curves[from + l] * reflectance[l];
  return sum;
}

/** Lower factor of a patch's 3 × 3 noise: the scan's own, and what is not known of the patch's spectrum. */
function noiseFactor(
  curves: Float64Array,
  spectrum: PatchSpectrum,
  signal: Triple,
  [e0, e1]: readonly [number, number],
): { L: readonly number[]; logDeterminant: number } {
  const n = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  for (let c = 0; c < 3; c++) n[4 * c] = signal[c] < BLACK ? 1 : e0 * e0 + (e1 * signal[c]) ** 2 + 1e-9;
  for (const mode of spectrum.doubt) {
    const y = [seen(curves, 0, mode), seen(curves, 1, mode), seen(curves, 2, mode)];
    for (let a = 0; a < 3; a++) for (let b = 0; b < 3; b++) n[3 * a + b] += y[a] * y[b];
  }
  const L = cholesky(Float64Array.from(n), 3);
  return { L: [...L], logDeterminant: Math.log(L[0]) + Math.log(L[4]) + Math.log(L[8]) };
}

function forward(L: readonly number[], v: readonly number[]): [number, number, number] {
  const a = v[0] / L[0];
  const b = (v[1] - L[3] * a) / L[4];
  return [a, b, (v[2] - L[6] * a - L[7] * b) / L[8]];
}

function whitened(L: readonly number[], rows: Float64Array, modes: number): Float64Array {
  const out = new Float64Array(3 * modes);
  for (let k = 0; k < modes; k++) {
    const [a, b, c] = forward(L, [rows[k], rows[modes + k], rows[2 * modes + k]]);
    out[k] = a;
    out[modes + k] = b;
    out[2 * modes + k] = c;
  }
  return out;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
