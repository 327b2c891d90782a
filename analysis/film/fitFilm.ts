/**
 * One ink as a film: one absorption curve k(λ), one scatter, one dose a region and each paper's own reflectance, fitted to the linear
 * signals of regions at many doses. Colours then follow from spectra, and not from a map of three numbers to three others.
 * Several kinds of ink may bear the same signals: each is followed, weighed by its evidence (Laplace's approximation), and colours are the mean
 * over all (filmColour.ts).
 */
import { cholesky, solveCholesky } from '../calibrate/cholesky.ts';
import { groundPrior, type GroundPrior } from './groundPrior.ts';
import { type InkKind, type InkPrior, shippedInkPrior } from './inkPrior.ts';
import { type ModelRegion, type ModelState, modelState, respond } from './model.ts';
import type { Sensors } from './sensors.ts';
import { signalNoise } from './signalNoise.ts';
import { bestStarts } from './starts.ts';
import { DOSE_LOG_SD, inCommon, inkUnknowns, placesOf, type Places } from './unknowns.ts';

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
  /** Kinds of ink that are followed, those first whose start comes nearest. @default 8 */
  readonly starts?: number;
  /** Kinds of pigment that are followed beside them. @default 4 */
  readonly pigments?: number;
  /** @default 25 */
  readonly iterations?: number;
  /** @default the shipped one */
  readonly prior?: InkPrior;
  /** Share of a signal's whole noise (signalNoise.ts) that the fit assumes: what regions are off alike does not scatter about an ink's curve. @default 0.5 */
  readonly noise?: number;
}
export const FILM_DEFAULTS = { starts: 8, pigments: 4, iterations: 25, noise: 0.5 } as const;

export interface FilmFit {
  readonly state: ModelState;
  /** Other kinds of ink that the signals would bear, with the share of belief that each has; `state` has the rest. */
  readonly others: readonly Alternative[];
  readonly sensors: Sensors;
  /** Share of a signal's whole noise that the fit assumed. */
  readonly noise: number;
  readonly regions: readonly ModelRegion[];
  /** Lower Cholesky factor of the curvature H at `state`; its inverse is the unknowns' covariance. */
  readonly factor: Float64Array;
  /** Of the most believed kind: scatter has a spectrum of its own. */
  readonly pigmented: boolean;
  /** Σ((model − signal)/σ)² over all signals, and region by region; σ is the whole noise. */
  readonly chiSquare: number;
  readonly regionChiSquare: readonly number[];
  /** (signal − model)/σ per region and channel: below 0 is darker than the ink's own curve. */
  readonly misfits: readonly Triple[];
  readonly signals: number;
  readonly converged: boolean;
}

export interface Alternative {
  readonly share: number;
  readonly state: ModelState;
}

/** After so many steps, starts this far behind the best (log evidence, about) are given up: pigments later, whose absorption and scatter are both sought. */
const EARLY = { dye: 5, pigment: 8, behind: 12 } as const;
/** Kinds of less belief than this are not worth their time. */
const LEAST_SHARE = 0.01;
const DAMPING = { start: 1e-2, up: 5, down: 6 } as const;
const LONGEST_STEP = 1.5;
const RELATIVE_END = 1e-4;

function earlySteps({ pigment }: InkKind): number {
  return pigment ? EARLY.pigment : EARLY.dye;
}

/**
 * One absorption curve, one scatter, a dose a region and a reflectance a paper, by damped Gauss–Newton from the kinds of ink that come nearest, each
 * weighed by its evidence.
 * @param input linear signals, straightened (bend.ts), 1 for perfect white @returns not converged where no kind came to rest
 */
export function fitFilm(input: FilmInput, sensors: Sensors, options: FilmOptions = {}): FilmFit {
  const used = { ...FILM_DEFAULTS, prior: shippedInkPrior(), ...options };
  const estimates = input.papers.map(({ signal }) => groundPrior(signal, sensors));
  const grounds = estimates.map(({ log }) => log.map(Math.exp));
  const begun = bestStarts(input, sensors, grounds, used.prior, used.starts, used.pigments).map(
    ({ kind, ink, doses }) => {
      const problem = problemOf(input, sensors, kind, used.noise, estimates);
      const z = new Float64Array(problem.at.count);
      z.set(inkUnknowns(ink, kind), problem.at.ink);
      doses.forEach((dose, i) => (z[problem.at.doses + i] = Math.log(dose) / DOSE_LOG_SD));
      return { problem, found: minimise(problem, z, Math.min(earlySteps(kind), used.iterations)) };
    },
  );
  const least = Math.min(...begun.map(({ found }) => found.cost));
  const followed = begun
    .filter(({ found }) => found.cost < least + EARLY.behind)
    .map(({ problem, found }) =>
      weighed(
        problem,
        found.converged ? found : minimise(problem, found.z, used.iterations - earlySteps(problem.prior)),
      ),
    )
    .sort((a, b) => b.evidence - a.evidence);
  return resultOf(followed);
}

/** One kind of ink followed to its end. */
interface Candidate {
  readonly problem: FilmProblem;
  readonly found: Minimum;
  readonly evidence: number;
}

function weighed(problem: FilmProblem, found: Minimum): Candidate {
  return { problem, found, evidence: Math.log(problem.prior.share) + evidenceOf(problem, found) };
}

/** Log of the integral over the unknowns, by their curvature at the minimum. */
function evidenceOf({ at: { count } }: FilmProblem, { cost, normal }: Minimum): number {
  const factor = cholesky(normal, count);
  let evidence = -cost;
  for (let k = 0; k < count; k++) evidence -= Math.log(factor[k * count + k]);
  return evidence;
}

interface FilmProblem {
  readonly noise: number;
  readonly at: Places;
  readonly prior: InkKind;
  readonly sensors: Sensors;
  readonly estimates: readonly GroundPrior[];
  /** Bare papers first, then the input's regions. */
  readonly regions: readonly ModelRegion[];
  readonly signals: readonly Triple[];
  readonly sigmas: readonly Triple[];
}

function problemOf(
  { papers, regions }: FilmInput,
  sensors: Sensors,
  prior: InkKind,
  noise: number,
  estimates: readonly GroundPrior[],
): FilmProblem {
  const signals = [...papers.map(({ signal }) => signal), ...regions.map(({ signal }) => signal)];
  return {
    at: placesOf(prior.modes.length, regions.length, papers.length, sensors.doubt.length),
    prior,
    sensors,
    noise,
    estimates,
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

/** Levenberg–Marquardt on ½ Σ((model − x)/σ)² + ½ |z|², doses held together (unknowns.ts `inCommon`). */
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
  const common = inCommon(at.grounds - at.doses);
  let doses = 0;
  for (let k = at.doses; k < at.grounds; k++) doses += z[k];
  cost -= 0.5 * common * doses * doses;
  for (let k = at.doses; k < at.grounds; k++) {
    right[k] += common * doses;
    for (let m = at.doses; m <= k; m++) normal[k * size + m] -= common;
  }
  const rows = new Float64Array(3 * size);
  const touched = new Int32Array(size);
  const slopes = new Float64Array(size);
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
      for (let a = 0; a < size; a++) {
        const slope = rows[c * size + a];
        if (slope === 0) continue;
        touched[count] = a;
        slopes[count++] = slope / sigma;
      }
      for (let n = 0; n < count; n++) {
        const slope = slopes[n];
        const row = touched[n] * size;
        right[touched[n]] += slope * rest;
        for (let m = 0; m <= n; m++) normal[row + touched[m]] += slope * slopes[m];
      }
    }
    return rests;
  });
  return { z, cost, state, normal, right, rests };
}

/** @param candidates the most believed first */
function resultOf(candidates: readonly Candidate[]): FilmFit {
  const [{ problem, found, evidence }] = candidates;
  const weights = candidates.map((one) => Math.exp(one.evidence - evidence));
  const heard = weights.filter((weight) => weight > LEAST_SHARE);
  const sum = heard.reduce((a, b) => a + b, 0);
  // Told in units of the whole noise, whatever share of it the fit assumed.
  const unit = problem.noise;
  const rests = found.rests.map(([r, g, b]): Triple => [unit * r, unit * g, unit * b]);
  const squares = rests.map(([r, g, b]) => r * r + g * g + b * b);
  return {
    state: found.state,
    others: heard.slice(1).map((weight, n) => ({ share: weight / sum, state: candidates[n + 1].found.state })),
    sensors: problem.sensors,
    noise: problem.noise,
    regions: problem.regions,
    factor: cholesky(found.normal, problem.at.count),
    pigmented: problem.prior.pigment,
    chiSquare: squares.reduce((a, b) => a + b, 0),
    regionChiSquare: squares,
    misfits: rests,
    signals: 3 * problem.regions.length,
    converged: found.converged,
  };
}
