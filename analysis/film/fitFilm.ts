/**
 * One ink as a film: one absorption curve k(λ), one scatter, one dose a region and each paper's own reflectance, fitted to the linear
 * signals of regions at many doses. Colours then follow from spectra, and not from a map of three numbers to three others.
 */
import { cholesky, solveCholesky } from '../calibrate/cholesky.ts';
import { estimateGround } from './ground.ts';
import { type InkPrior, shippedInkPrior } from './inkPrior.ts';
import { type ModelRegion, type ModelState, modelState, respond } from './model.ts';
import type { Sensors } from './sensors.ts';
import { signalNoise } from './signalNoise.ts';
import { bestStarts } from './starts.ts';
import { DOSE_LOG_SD, inkUnknowns, placesOf, type Places } from './unknowns.ts';

type Triple = readonly [number, number, number];

export interface DoseRegion {
  readonly id: string;
  /** Index into `papers`. */
  readonly paper: number;
  /** Mean linear signals, straightened (bend.ts). */
  readonly signal: Triple;
}

export interface FilmInput {
  /** Bare paper: mean linear signals, straightened. */
  readonly papers: readonly { readonly signal: Triple }[];
  readonly regions: readonly DoseRegion[];
}

export interface FilmOptions {
  /** Starts that are followed to the end. @default 2 */
  readonly starts?: number;
  /** @default 25 */
  readonly iterations?: number;
  /** @default the shipped one */
  readonly prior?: InkPrior;
  /** Factor on the assumed noise of signals. @default 1 */
  readonly noise?: number;
}
export const FILM_DEFAULTS = { starts: 2, iterations: 25, noise: 1 } as const;

export interface FilmFit {
  readonly state: ModelState;
  readonly sensors: Sensors;
  /** Factor on the assumed noise of signals. */
  readonly noise: number;
  readonly regions: readonly ModelRegion[];
  /** Lower Cholesky factor of the curvature H; its inverse is the unknowns' covariance. */
  readonly factor: Float64Array;
  /** Scatter wanders over the spectrum: pigment rather than dye. */
  readonly pigmented: boolean;
  /** Σ((model − signal)/σ)² over all signals, and region by region. */
  readonly chiSquare: number;
  readonly regionChiSquare: readonly number[];
  /** (signal − model)/σ per region and channel: below 0 is darker than the ink's own curve. */
  readonly misfits: readonly Triple[];
  readonly signals: number;
  readonly converged: boolean;
}

/** Fall of the cost from which an uneven scatter is believed. */
const PIGMENT_GAIN = 1.5;
const DAMPING = { start: 1e-2, up: 5, down: 6 } as const;
const LONGEST_STEP = 1.5;
const RELATIVE_END = 1e-4;

export function fitFilm(input: FilmInput, sensors: Sensors, options: FilmOptions = {}): FilmFit {
  const used = { ...FILM_DEFAULTS, prior: shippedInkPrior(), ...options };
  const problem = problemOf(input, sensors, used.prior, used.noise, false);
  const starts = bestStarts(input, sensors, problem.estimates, used.prior, used.starts);
  const followed = starts.map(({ k, doses }) => {
    const z = new Float64Array(problem.at.count);
    z.set(inkUnknowns(k, used.prior), problem.at.ink);
    doses.forEach((dose, i) => (z[problem.at.doses + i] = Math.log(dose) / DOSE_LOG_SD));
    return minimise(problem, z, used.iterations);
  });
  const flat = followed.reduce((best, one) => (one.cost < best.cost ? one : best));

  const uneven = problemOf(input, sensors, used.prior, used.noise, true);
  const z = new Float64Array(uneven.at.count);
  z.set(flat.z.subarray(0, problem.at.scatterModes));
  z.set(flat.z.subarray(problem.at.doses), uneven.at.doses);
  const pigment = minimise(uneven, z, used.iterations);
  return pigment.cost < flat.cost - PIGMENT_GAIN ? resultOf(uneven, pigment, true) : resultOf(problem, flat, false);
}

interface FilmProblem {
  readonly noise: number;
  readonly at: Places;
  readonly prior: InkPrior;
  readonly sensors: Sensors;
  readonly estimates: readonly Float64Array[];
  /** Bare papers first, then the input's regions. */
  readonly regions: readonly ModelRegion[];
  readonly signals: readonly Triple[];
  readonly sigmas: readonly Triple[];
}

function problemOf(
  { papers, regions }: FilmInput,
  sensors: Sensors,
  prior: InkPrior,
  noise: number,
  pigmented: boolean,
): FilmProblem {
  const signals = [...papers.map(({ signal }) => signal), ...regions.map(({ signal }) => signal)];
  return {
    at: placesOf(prior.modes.length, regions.length, papers.length, sensors.doubt.length, pigmented),
    prior,
    sensors,
    noise,
    estimates: papers.map(({ signal }) => estimateGround(signal, sensors)),
    regions: [
      ...papers.map((_, paper): ModelRegion => ({ paper, dose: null })),
      ...regions.map(({ paper }, dose): ModelRegion => ({ paper, dose })),
    ],
    signals,
    sigmas: signals.map(([r, g, b]): Triple => [
      noise * signalNoise(r),
      noise * signalNoise(g),
      noise * signalNoise(b),
    ]),
  };
}

interface Minimum {
  readonly z: Float64Array;
  readonly cost: number;
  readonly state: ModelState;
  readonly normal: Float64Array;
  readonly rests: readonly Triple[];
  readonly converged: boolean;
}

/** Levenberg–Marquardt on ½ Σ((model − x)/σ)² + ½ |z|². */
function minimise(problem: FilmProblem, start: Float64Array, iterations: number): Minimum {
  const size = problem.at.count;
  let here = judged(problem, start);
  let damping: number = DAMPING.start;
  let converged = false;
  for (let i = 0; i < iterations && !converged; i++) {
    let taken = false;
    for (let tries = 0; tries < 8 && !taken; tries++) {
      const damped = Float64Array.from(here.normal);
      for (let k = 0; k < size; k++) damped[k * size + k] *= 1 + damping;
      const step = solveCholesky(cholesky(damped, size), size, here.right);
      const longest = step.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
      const share = Math.min(1, LONGEST_STEP / longest);
      const there = judged(
        problem,
        here.z.map((v, k) => v + share * step[k]),
      );
      if (there.cost < here.cost) {
        converged = here.cost - there.cost < RELATIVE_END * here.cost;
        here = there;
        damping = Math.max(damping / DAMPING.down, 1e-7);
        taken = true;
      } else {
        damping *= DAMPING.up;
      }
    }
    if (!taken) converged = true;
  }
  return { ...here, converged };
}

interface Judged extends Omit<Minimum, 'converged'> {
  readonly right: Float64Array;
}

/** Cost with its downhill direction and curvature (Gauss–Newton). */
function judged(problem: FilmProblem, z: Float64Array): Judged {
  const { at, prior, sensors, estimates, regions, signals, sigmas } = problem;
  const size = at.count;
  const state = modelState(z, at, prior, estimates);
  const normal = new Float64Array(size * size);
  const right = z.map((v) => -v);
  for (let k = 0; k < size; k++) normal[k * size + k] = 1;
  let cost = 0;
  for (let k = 0; k < size; k++) cost += 0.5 * z[k] * z[k];
  const rows = new Float64Array(3 * size);
  const touched = new Int32Array(size);
  const rests = regions.map((region, i): Triple => {
    const values = respond(state, region, sensors.curves, sensors.doubt, rows);
    const rests: [number, number, number] = [0, 0, 0];
    for (let c = 0; c < 3; c++) {
      const sigma = sigmas[i][c];
      // A cut signal bounds the light from above, and no more.
      if (signals[i][c] < sensors.black[c] && values[c] < sensors.black[c]) continue;
      const rest = (signals[i][c] - values[c]) / sigma;
      rests[c] = rest;
      cost += 0.5 * rest * rest;
      let count = 0;
      for (let a = 0; a < size; a++) if (rows[c * size + a] !== 0) touched[count++] = a;
      for (let n = 0; n < count; n++) {
        const a = touched[n];
        const slope = rows[c * size + a] / sigma;
        right[a] += slope * rest;
        for (let m = 0; m <= n; m++) normal[a * size + touched[m]] += (slope * rows[c * size + touched[m]]) / sigma;
      }
    }
    return rests;
  });
  return { z, cost, state, normal, right, rests };
}

function resultOf(problem: FilmProblem, { state, normal, rests, converged }: Minimum, pigmented: boolean): FilmFit {
  const squares = rests.map(([r, g, b]) => r * r + g * g + b * b);
  return {
    state,
    sensors: problem.sensors,
    noise: problem.noise,
    regions: problem.regions,
    factor: cholesky(normal, problem.at.count),
    pigmented,
    chiSquare: squares.reduce((a, b) => a + b, 0),
    regionChiSquare: squares,
    misfits: rests,
    signals: 3 * problem.regions.length,
    converged,
  };
}
