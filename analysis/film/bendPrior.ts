/**
 * What a calibration's three curves may be off by before the target's colours are asked. Channels of one device share its law but for gain, exponent, black and
 * stray light; a curve drawn through greys that are not flat holds those greys' colour, too, and that differs from channel to channel.
 */
import { cholesky, solveCholesky } from '../calibrate/cholesky.ts';
import { BEND_SD, BEND_TERMS, bendTerms } from './bend.ts';

const SIZE = 3 * BEND_TERMS;

/** Of the terms of three bends, stacked: a Gaussian. */
export interface BendPrior {
  readonly mean: Float64Array;
  /** SIZE × SIZE, row by row. */
  readonly precision: Float64Array;
  /** Half the logarithm of its determinant. */
  readonly logRoot: number;
}

/** Device value 0..1 → linear signal. */
type Curve = (device: number) => number;
export type CurveTriple = readonly [Curve, Curve, Curve];
type Range = readonly [number, number];

/** 'straight': greys were flat, and so the curves are about right. 'shared': greys were dyes, and what they did to one channel they did not do to all. 'separate': nothing is known. */
export type BendKind = 'straight' | 'shared' | 'separate';

/** Of `BEND_SD`: carbon greys leave about 1 % where light is a hundredth (seeds 302–323 of study/film.ts). */
const STRAIGHT = 0.2;
/** How far the law that channels share may be from the mean of their curves, per term. Where greys are mixed its scale is nobody's (calibrate/channelCurves.ts). */
const COMMON_SD = [0.15, ...BEND_SD.slice(1)];
/** Standard deviations by which channels of one device differ: gain, exponent (relative), black (device value), stray light (linear), and what is none of these. Choices, no source. */
const OWN = { gain: 0.03, exponent: 0.012, black: 0.003, flare: 0.0006, rest: 0.006 } as const;
/** Device values where the curves are compared, and the least signal there. */
const POINTS = 14;
const LEAST_SIGNAL = 0.004;
/** Curves that meet over less than this part of the scale say nothing of one another. */
const LEAST_SPAN = 0.2;
/** Signals as small as this count half in a bend's least squares. */
const FAINT = 0.002;

/** @param ranges of the signals that the bends are drawn over @returns null: nothing like that is known of these curves */
export function bendPrior(kind: BendKind, curves: CurveTriple | null, ranges: readonly Range[]): BendPrior | null {
  if (kind === 'separate') return eachBySelf(1);
  if (curves === null) return null;
  return kind === 'straight' ? eachBySelf(STRAIGHT) : alike(curves, ranges);
}

function eachBySelf(share: number): BendPrior {
  const precision = new Float64Array(SIZE * SIZE);
  let logRoot = 0;
  for (let k = 0; k < SIZE; k++) {
    const sd = share * BEND_SD[k % BEND_TERMS];
    precision[k * SIZE + k] = 1 / (sd * sd);
    logRoot -= Math.log(sd);
  }
  return { mean: new Float64Array(SIZE), precision, logRoot };
}

/** Ways to be off, at device values that all channels have, brought into the terms of each channel's bend. */
function alike(curves: CurveTriple, ranges: readonly Range[]): BendPrior | null {
  const devices = commonDevices(curves, ranges);
  if (devices === null) return null;
  const last = devices.length - 1;
  const logs = curves.map((curve) => devices.map((d) => Math.log(curve(d))));
  const law = devices.map((_, j) => (logs[0][j] + logs[1][j] + logs[2][j]) / 3);
  const signals = law.map(Math.exp);
  const slopes = devices.map((_, j) => {
    const [a, b] = [Math.max(0, j - 1), Math.min(last, j + 1)];
    return (law[b] - law[a]) / (devices[b] - devices[a]);
  });
  const weights = signals.map((x) => 1 / (1 + (FAINT / x) ** 2));
  const into = logs.map((own, c) => projection(own.map(Math.exp), ranges[c], weights));
  const mean = new Float64Array(SIZE);
  // A gain shows where light is fullest, and there greys are palest.
  logs.forEach((own, c) => mean.set(into[c](law.map((v, j) => v - own[j] + own[last] - law[last])), c * BEND_TERMS));
  const covariance = new Float64Array(SIZE * SIZE);
  const add = (way: Float64Array): void => {
    for (let a = 0; a < SIZE; a++) for (let b = 0; b < SIZE; b++) covariance[a * SIZE + b] += way[a] * way[b];
  };
  const terms = signals.map((x) => bendTerms(x, { coefficients: [], range: [0, 1] }));
  COMMON_SD.forEach((sd, k) => {
    const off = terms.map((term) => sd * term[k]);
    const way = new Float64Array(SIZE);
    into.forEach((project, c) => way.set(project(off), c * BEND_TERMS));
    add(way);
  });
  const own = [
    signals.map(() => OWN.gain),
    law.map((log) => OWN.exponent * log),
    slopes.map((slope) => OWN.black * slope),
    signals.map((x) => OWN.flare / x),
  ];
  into.forEach((project, c) => {
    for (const off of own) {
      const way = new Float64Array(SIZE);
      way.set(project(off), c * BEND_TERMS);
      add(way);
    }
    BEND_SD.forEach((sd, k) => (covariance[(c * BEND_TERMS + k) * (SIZE + 1)] += ((OWN.rest * sd) / BEND_SD[0]) ** 2));
  });
  return inverted(mean, covariance);
}

/** A deviation, given at the points, as the terms of a bend: least squares. */
function projection(
  signals: readonly number[],
  range: Range,
  weights: readonly number[],
): (off: readonly number[]) => Float64Array {
  const rows = signals.map((x) => bendTerms(x, { coefficients: [], range }));
  const normal = new Float64Array(BEND_TERMS * BEND_TERMS);
  rows.forEach((row, j) => {
    for (let a = 0; a < BEND_TERMS; a++) {
      for (let b = 0; b <= a; b++) normal[a * BEND_TERMS + b] += weights[j] * row[a] * row[b];
    }
  });
  for (let a = 0; a < BEND_TERMS; a++) normal[a * (BEND_TERMS + 1)] += 1e-7;
  const factor = cholesky(normal, BEND_TERMS);
  return (off) => {
    const right = new Float64Array(BEND_TERMS);
    rows.forEach((row, j) => row.forEach((term, a) => (right[a] += weights[j] * term * off[j])));
    return solveCholesky(factor, BEND_TERMS, right);
  };
}

/** Device values over the range of all three channels, evenly by the green one's lightness. */
function commonDevices(curves: CurveTriple, ranges: readonly Range[]): number[] | null {
  const from = Math.max(...curves.map((curve, c) => deviceOf(Math.max(ranges[c][0], LEAST_SIGNAL), curve)));
  const to = Math.min(...curves.map((curve, c) => deviceOf(ranges[c][1], curve)));
  if (to - from < LEAST_SPAN) return null;
  const green = curves[1];
  const [low, high] = [Math.cbrt(green(from)), Math.cbrt(green(to))];
  return Array.from({ length: POINTS }, (_, j) => deviceOf((low + ((high - low) * j) / (POINTS - 1)) ** 3, green));
}

function deviceOf(signal: number, curve: Curve): number {
  let [low, high] = [0, 1.2];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (curve(middle) < signal) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function inverted(mean: Float64Array, covariance: Float64Array): BendPrior {
  const factor = cholesky(covariance, SIZE);
  const precision = new Float64Array(SIZE * SIZE);
  let logRoot = 0;
  for (let k = 0; k < SIZE; k++) {
    logRoot -= Math.log(factor[k * SIZE + k]);
    const unit = new Float64Array(SIZE);
    unit[k] = 1;
    precision.set(solveCholesky(factor, SIZE, unit), k * SIZE);
  }
  return { mean, precision, logRoot };
}
