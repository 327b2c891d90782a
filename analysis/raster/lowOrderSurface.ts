/** Smooth surfaces of order 0, 1 or 2 over a plane, three channels at once, fitted robustly. */
import { Matrix, solve } from 'ml-matrix';

type Triple = readonly [number, number, number];

export interface LowOrderSurface {
  /** Per channel the coefficients of 1, u, v, u², uv, v² with u = (x − centre) / half; trailing ones may be absent. */
  readonly coefficients: readonly (readonly number[])[];
  readonly centre: readonly [x: number, y: number];
  /** Half the extent of the data; beyond ± 1.25 of it the surface is held, since polynomials run away. */
  readonly half: readonly [x: number, y: number];
}

const TERMS = [1, 3, 6] as const;
const REACH = 1.25;

/**
 * Least squares with Tukey's biweight (tuning constant 4.685), five rounds: stray cells (a hair, a stain) lose their say.
 * @param places n points. @param values n triples. @param order 0 mean, 1 plane, 2 quadratic.
 */
export function fitSurface(
  places: readonly (readonly [number, number])[],
  values: readonly Triple[],
  order: 0 | 1 | 2,
): LowOrderSurface {
  const xs = places.map((p) => p[0]);
  const ys = places.map((p) => p[1]);
  const centre = [(Math.min(...xs) + Math.max(...xs)) / 2, (Math.min(...ys) + Math.max(...ys)) / 2] as const;
  const half = [
    Math.max(1e-9, (Math.max(...xs) - Math.min(...xs)) / 2),
    Math.max(1e-9, (Math.max(...ys) - Math.min(...ys)) / 2),
  ] as const;
  const terms = TERMS[order];
  const rows = new Float64Array(terms * places.length);
  places.forEach((p, i) => {
    const basis = basisAt((p[0] - centre[0]) / half[0], (p[1] - centre[1]) / half[1]);
    for (let k = 0; k < terms; k++) rows[terms * i + k] = basis[k];
  });
  const coefficients = [0, 1, 2].map((c) => robustFit(rows, terms, new Float64Array(values.map((v) => v[c]))));
  return { coefficients, centre, half };
}

/** Writes the three channels at (x, y) into `out`. */
export function surfaceAt(surface: LowOrderSurface, x: number, y: number, out: number[] | Float64Array): void {
  const u = clamp((x - surface.centre[0]) / surface.half[0]);
  const v = clamp((y - surface.centre[1]) / surface.half[1]);
  for (let c = 0; c < 3; c++) {
    const k = surface.coefficients[c];
    let value = k[0];
    if (k.length >= 3) value += k[1] * u + k[2] * v;
    if (k.length === 6) value += k[3] * u * u + k[4] * u * v + k[5] * v * v;
    out[c] = value;
  }
}

/**
 * A surface's numbers one after the other: six coefficients a channel, the centre, half the extent. Surfaces come from here and from other threads,
 * and what looks at objects of many origins is compiled again and again.
 */
export function surfaceNumbers({ coefficients, centre, half }: LowOrderSurface): Float64Array {
  const numbers = new Float64Array(22);
  for (let c = 0; c < 3; c++) numbers.set(coefficients[c], 6 * c);
  numbers.set(centre, 18);
  numbers.set(half, 20);
  return numbers;
}

/**
 * Gains that level the surface, 1 over its three channels, at places (x, y), (x + step, y) … into `out`: along a row it is a parabola.
 * @param surface As surfaceNumbers tells it. @returns the largest departure of the surface from 1.
 */
export function gainsAlong(
  surface: Float64Array,
  x: number,
  y: number,
  step: number,
  count: number,
  out: Float64Array,
): number {
  const centre = surface[18];
  const half = surface[20];
  const v = clamp((y - surface[19]) / surface[21]);
  let departure = 0;
  for (let c = 0, k = 0; c < 3; c++, k += 6) {
    const a = surface[k] + surface[k + 2] * v + surface[k + 5] * v * v;
    const b = surface[k + 1] + surface[k + 4] * v;
    const k3 = surface[k + 3];
    for (let n = 0, i = c; n < count; n++, i += 3) {
      const u = clamp((x + n * step - centre) / half);
      const value = a + u * (b + u * k3);
      const off = value > 1 ? value - 1 : 1 - value;
      if (off > departure) departure = off;
      out[i] = 1 / value;
    }
  }
  return departure;
}

function clamp(t: number): number {
  return t < -REACH ? -REACH : t > REACH ? REACH : t;
}

function basisAt(u: number, v: number): number[] {
  return [1, u, v, u * u, u * v, v * v];
}

/** So many places at a time: what is called often is soon compiled. */
const CHUNK = 64;

/** @param rows The terms of each place, one place after the other. */
function robustFit(rows: Float64Array, terms: number, values: Float64Array): number[] {
  const n = values.length;
  const weights = new Float64Array(n).fill(1);
  const residuals = new Float64Array(n);
  const sizes = new Float64Array(n);
  const k = new Float64Array(terms);
  for (let round = 0; round < 5; round++) {
    const normal = new Float64Array(terms * terms);
    const right = new Float64Array(terms);
    for (let from = 0; from < n; from += CHUNK) addEquations(rows, values, weights, from, terms, normal, right);
    // All cells in one row or column leave a slope open; this keeps it at zero instead of anywhere.
    for (let p = 1; p < terms; p++) normal[p * terms + p] += 1e-9 * n;
    k.set(solve(Matrix.from1DArray(terms, terms, normal), Matrix.columnVector(right)).to1DArray());
    for (let from = 0; from < n; from += CHUNK) writeResiduals(rows, values, k, from, residuals, sizes);
    sizes.sort();
    const scale = Math.max(1e-9, 1.4826 * sizes[n >> 1]);
    for (let from = 0; from < n; from += CHUNK) writeWeights(residuals, 4.685 * scale, from, weights);
  }
  return [...k];
}

function addEquations(
  rows: Float64Array,
  values: Float64Array,
  weights: Float64Array,
  from: number,
  terms: number,
  normal: Float64Array,
  right: Float64Array,
): void {
  for (let i = from, end = Math.min(values.length, from + CHUNK); i < end; i++) {
    const row = i * terms;
    for (let p = 0; p < terms; p++) {
      const weighted = weights[i] * rows[row + p];
      right[p] += weighted * values[i];
      for (let q = 0; q < terms; q++) normal[p * terms + q] += weighted * rows[row + q];
    }
  }
}

/** And their sizes. */
function writeResiduals(
  rows: Float64Array,
  values: Float64Array,
  k: Float64Array,
  from: number,
  residuals: Float64Array,
  sizes: Float64Array,
): void {
  const terms = k.length;
  for (let i = from, end = Math.min(values.length, from + CHUNK); i < end; i++) {
    let fitted = 0;
    for (let p = 0; p < terms; p++) fitted += rows[i * terms + p] * k[p];
    residuals[i] = values[i] - fitted;
    sizes[i] = Math.abs(residuals[i]);
  }
}

function writeWeights(residuals: Float64Array, most: number, from: number, weights: Float64Array): void {
  for (let i = from, end = Math.min(residuals.length, from + CHUNK); i < end; i++) {
    const t = residuals[i] / most;
    weights[i] = Math.abs(t) < 1 ? (1 - t * t) ** 2 : 0;
  }
}
