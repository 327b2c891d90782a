/**
 * An ink's own way from thin to thick on one paper: a smooth curve through its colours at many doses, which begins at the bare paper. Each of X, Y, Z
 * over the paper's is taken as a logarithm, where layers of one ink add up, and told as a short polynomial of the ink's depth, without a constant.
 */
import { cholesky, solveCholesky } from '../calibrate/cholesky.ts';
import { colourMetric, labMetric } from '../calibrate/colourMetric.ts';
import { type LabD50, labD50, type Xyz, xyzToLab } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';
import { triple } from '../triple.ts';

export interface PathPoint {
  readonly xyz: Xyz;
  readonly weight: number;
}

export interface InkPath {
  /** Depth of the palest and of the densest colour that taught the path; the paper lies at 0. */
  readonly from: number;
  readonly to: number;
  /** Colour at a depth; what lies beyond `to` is extrapolated. */
  xyzAt(depth: number): Xyz;
  /** Depth that a colour has by itself, on the path or off it: its absorbance over the paper along `way`. */
  depthOf(xyz: Xyz): number;
  readonly way: LabValue;
  readonly paper: Xyz;
}

export interface NearestOnPath {
  readonly depth: number;
  readonly lab: LabD50;
  /** Colour minus the path's, turned and stretched so that its length is about its ΔE00. */
  readonly off: LabValue;
  /** Direction of the path there in the same axes, length 1. */
  readonly along: LabValue;
  /** The search's end, so that the colour may lie beyond. */
  readonly atEnd: boolean;
}

/** A path over a wider span of depth (densest over palest) bends more than three terms tell (study/writing.ts). */
const WIDE = 3;
const STIFFNESS = 1e-5;
const ROUNDS = 6;
const SEARCH_STEPS = 64;

export interface PathOptions {
  /** Colours further off than this count less and less, ΔE00 (Tukey's biweight, 1974); null: all count alike. @default null */
  readonly outlyingDE?: number | null;
  /** Keeps the path straight in absorbance where colours say little of its bend; of the sum of weights. @default 1e-5 */
  readonly stiffness?: number;
}

/** Null when there are too few colours, or none that differs from the paper. */
export function fitInkPath(points: readonly PathPoint[], paper: Xyz, options: PathOptions = {}): InkPath | null {
  const { outlyingDE = null, stiffness = STIFFNESS } = options;
  const n = points.length;
  const deep = new Float64Array(3 * n);
  const lightness = new Float64Array(3 * n);
  const sum = new Float64Array(3);
  for (let i = 0; i < n; i++) addPoint(points[i], paper, i, deep, lightness, sum);
  const length = Math.hypot(...sum);
  if (n < 4 || !(length > 1e-3)) return null;
  const way = triple((c) => sum[c] / length);
  const depths = new Float64Array(n);
  for (let i = 0, k = 0; i < n; i++, k += 3) depths[i] = deep[k] * way[0] + deep[k + 1] * way[1] + deep[k + 2] * way[2];
  const sorted = depths.slice().sort();
  const to = sorted[Math.ceil(0.98 * (n - 1))];
  const from = Math.max(1e-3, sorted[Math.floor(0.02 * (n - 1))]);
  if (!(to > from)) return null;
  const terms = to / from > WIDE ? 4 : 3;
  const trust = new Float64Array(n).fill(1);
  const taught: Taught = { points, trust, lightness, deep, depths, terms, to, stiffness };
  for (let round = 1; ; round++) {
    const coefficients = [...polynomial(taught, 0), ...polynomial(taught, 1), ...polynomial(taught, 2)];
    const path = new PolynomialPath({ from, to, way, paper }, Float64Array.from(coefficients));
    if (outlyingDE === null || round === ROUNDS) return path;
    distrust(path, taught, sorted[n - 1], outlyingDE);
  }
}

/** Not made of functions of its own: what is compiled for one path serves the next. */
class PolynomialPath implements InkPath {
  readonly from: number;
  readonly to: number;
  readonly way: LabValue;
  readonly paper: Xyz;
  /** Of X, then of Y, then of Z. */
  readonly #coefficients: Float64Array;
  readonly #terms: number;

  constructor({ from, to, way, paper }: Pick<InkPath, 'from' | 'to' | 'way' | 'paper'>, coefficients: Float64Array) {
    this.from = from;
    this.to = to;
    this.way = way;
    this.paper = paper;
    this.#coefficients = coefficients;
    this.#terms = coefficients.length / 3;
  }

  xyzAt(depth: number): Xyz {
    const x = depth / this.to;
    const terms = this.#terms;
    return [
      this.paper[0] * Math.exp(-x * valueAt(this.#coefficients, 0, terms, x)),
      this.paper[1] * Math.exp(-x * valueAt(this.#coefficients, terms, terms, x)),
      this.paper[2] * Math.exp(-x * valueAt(this.#coefficients, 2 * terms, terms, x)),
    ];
  }

  depthOf(xyz: Xyz): number {
    return absorbanceAlong(this.way, xyz, this.paper);
  }
}

interface Taught {
  readonly points: readonly PathPoint[];
  readonly trust: Float64Array;
  readonly lightness: Float64Array;
  readonly deep: Float64Array;
  readonly depths: Float64Array;
  readonly terms: number;
  readonly to: number;
  readonly stiffness: number;
}

/** Coefficients of one channel. */
function polynomial(taught: Taught, c: 0 | 1 | 2): readonly number[] {
  const { terms, stiffness } = taught;
  const normal = new Float64Array(terms * terms);
  const right = new Float64Array(terms);
  // Sums of the powers from the second on: all that the normal equations hold.
  const sums = new Float64Array(2 * terms - 1);
  const weights = addPoints(taught, c, sums, right);
  for (let p = 0; p < terms; p++) for (let q = 0; q < terms; q++) normal[p * terms + q] = sums[p + q];
  for (let p = 0; p < terms; p++) normal[p * terms + p] += weights * (p === 0 ? 1e-9 : stiffness);
  return [...solveCholesky(cholesky(normal, terms), terms, right)];
}

/** @returns the sum of their weights */
function addPoints(
  { points, trust, lightness, deep, depths, terms, to }: Taught,
  c: 0 | 1 | 2,
  sums: Float64Array,
  right: Float64Array,
): number {
  let weights = 0;
  for (let i = 0; i < depths.length; i++) {
    // Lab is a cube root: a relative step of a dark colour is a small one.
    const w = points[i].weight * trust[i] * lightness[3 * i + c];
    weights += w;
    addPowers(sums, right, terms, w, depths[i] / to, deep[3 * i + c]);
  }
  return weights;
}

/** Colours far off the path count less in the next round. */
function distrust(path: InkPath, { points, trust, depths }: Taught, deepest: number, outlying: number): void {
  const metrics: Metrics = {
    step: Math.max(1e-6, deepest) / METRICS,
    entries: new Float64Array(9 * (METRICS + 1)),
    isKnown: new Uint8Array(METRICS + 1),
  };
  for (let i = 0; i < depths.length; i++) trust[i] = trustOf(path, metrics, points[i], depths[i], outlying);
}

// Called for each point by itself: what is called often is soon compiled, and what is no function's own stays compiled.

function trustOf(path: InkPath, metrics: Metrics, { xyz }: PathPoint, depth: number, outlying: number): number {
  const at = metricNear(path, depth, metrics);
  return biweight(apartBy(metrics.entries, at, xyz, path.xyzAt(depth)) / outlying);
}

/** Into `deep` and `lightness` the point's own, to `sum` its absorbance times its weight. */
function addPoint(
  { xyz, weight }: PathPoint,
  paper: Xyz,
  i: number,
  deep: Float64Array,
  lightness: Float64Array,
  sum: Float64Array,
): void {
  for (let c = 0; c < 3; c++) {
    const a = -Math.log(Math.max(1e-5, xyz[c]) / paper[c]);
    const root = Math.cbrt(Math.max(1e-4, xyz[c]));
    deep[3 * i + c] = a;
    lightness[3 * i + c] = root * root;
    sum[c] += weight * a;
  }
}

/** To the sums of w x², w x³ … and to those of w a x, w a x² … */
function addPowers(sums: Float64Array, right: Float64Array, terms: number, w: number, x: number, a: number): void {
  let power = w * x;
  for (let p = 0; p < terms; p++) {
    right[p] += power * a;
    power *= x;
    sums[p] += power;
  }
  for (let p = terms; p < 2 * terms - 1; p++) {
    power *= x;
    sums[p] += power;
  }
}

function valueAt(coefficients: Float64Array, first: number, terms: number, x: number): number {
  let value = 0;
  for (let p = first + terms - 1; p >= first; p--) value = value * x + coefficients[p];
  return value;
}

/** First-order ΔE00. @param at Where the metric's nine entries begin. */
function apartBy(m: Float64Array, at: number, a: Xyz, b: Xyz): number {
  const x = a[0] - b[0];
  const y = a[1] - b[1];
  const z = a[2] - b[2];
  const p = m[at] * x + m[at + 1] * y + m[at + 2] * z;
  const q = m[at + 3] * x + m[at + 4] * y + m[at + 5] * z;
  const r = m[at + 6] * x + m[at + 7] * y + m[at + 8] * z;
  return Math.sqrt(p * p + q * q + r * r);
}

/** A path between two depths, with the colours at even steps that every search begins with. */
export interface SearchedPath {
  readonly path: InkPath;
  readonly from: number;
  readonly to: number;
  readonly labs: readonly LabD50[];
}

/** @param from, to Depths, natural logarithm; colours are laid at 65 even steps between them. */
export function searched(path: InkPath, from: number, to: number): SearchedPath {
  const step = (to - from) / SEARCH_STEPS;
  const labs = Array.from({ length: SEARCH_STEPS + 1 }, (_, k) => xyzToLab(path.xyzAt(from + k * step)));
  return { path, from, to, labs };
}

/** The path's colour that a colour is nearest to. */
export function nearestOnPath({ path, from, to, labs }: SearchedPath, xyz: Xyz): NearestOnPath {
  const lab = xyzToLab(xyz);
  const metric = labMetric(lab);
  let best = from;
  let least = Infinity;
  const step = (to - from) / SEARCH_STEPS;
  for (let k = 0; k <= SEARCH_STEPS; k++) {
    const d = awayBy(metric, lab, labs[k]);
    if (d < least) [least, best] = [d, from + k * step];
  }
  for (let half = step / 2; half > step / 64; half /= 2) {
    for (const at of [best - half, best + half]) {
      if (at < from || at > to) continue;
      const d = awayBy(metric, lab, xyzToLab(path.xyzAt(at)));
      if (d < least) [least, best] = [d, at];
    }
  }
  const near = xyzToLab(path.xyzAt(best));
  const tangent = times(metric, minus(xyzToLab(path.xyzAt(best + step)), xyzToLab(path.xyzAt(best - step))));
  const size = Math.max(1e-9, lengthOf(tangent));
  return {
    depth: best,
    lab: labD50(near[0], near[1], near[2]),
    off: times(metric, minus(lab, near)),
    along: triple((c) => tangent[c] / size),
    atEnd: best >= to - step / 2,
  };
}

/** Of a colour over the paper's, along a way. */
function absorbanceAlong(way: LabValue, xyz: Xyz, paper: Xyz): number {
  const a = -Math.log(Math.max(1e-5, xyz[0]) / paper[0]);
  const b = -Math.log(Math.max(1e-5, xyz[1]) / paper[1]);
  const c = -Math.log(Math.max(1e-5, xyz[2]) / paper[2]);
  return a * way[0] + b * way[1] + c * way[2];
}

/** What a ΔE00 is changes slowly along a path: told at so many depths. */
const METRICS = 128;

interface Metrics {
  /** Of depth. */
  readonly step: number;
  /** Nine a step. */
  readonly entries: Float64Array;
  readonly isKnown: Uint8Array;
}

/** Where the metric at the path's colour near a depth begins, which is told when it is first asked for. */
function metricNear(path: InkPath, depth: number, { step, entries, isKnown }: Metrics): number {
  const k = Math.min(METRICS, Math.max(0, Math.round(depth / step)));
  if (isKnown[k] === 0) {
    isKnown[k] = 1;
    entries.set(colourMetric(path.xyzAt(k * step)), 9 * k);
  }
  return 9 * k;
}

function biweight(r: number): number {
  return Math.abs(r) >= 1 ? 1e-6 : (1 - r * r) ** 2;
}

/** From one colour to another, turned and stretched. */
function awayBy(m: readonly number[], a: LabD50, b: LabD50): number {
  const x = a[0] - b[0];
  const y = a[1] - b[1];
  const z = a[2] - b[2];
  return Math.hypot(m[0] * x + m[1] * y + m[2] * z, m[3] * x + m[4] * y + m[5] * z, m[6] * x + m[7] * y + m[8] * z);
}

function minus(a: LabValue, b: LabValue): LabValue {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function times(m: readonly number[], v: LabValue): LabValue {
  return triple((r) => m[3 * r] * v[0] + m[3 * r + 1] * v[1] + m[3 * r + 2] * v[2]);
}

function lengthOf(v: LabValue): number {
  return Math.hypot(v[0], v[1], v[2]);
}
