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
  const rows = places.map((p) => basis((p[0] - centre[0]) / half[0], (p[1] - centre[1]) / half[1]).slice(0, terms));
  const coefficients = [0, 1, 2].map((c) =>
    robustFit(
      rows,
      values.map((v) => v[c]),
    ),
  );
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
 * Gains that level the surface, 1 over its three channels, at places (x, y), (x + step, y) … into `out`: along a row it is a parabola.
 * @returns the largest departure of the surface from 1.
 */
export function gainsAlong(
  surface: LowOrderSurface,
  x: number,
  y: number,
  step: number,
  count: number,
  out: Float64Array,
): number {
  const { centre, half, coefficients } = surface;
  const v = clamp((y - centre[1]) / half[1]);
  let departure = 0;
  for (let c = 0; c < 3; c++) {
    const [k0, k1 = 0, k2 = 0, k3 = 0, k4 = 0, k5 = 0] = coefficients[c];
    const a = k0 + k2 * v + k5 * v * v;
    const b = k1 + k4 * v;
    for (let n = 0, i = c; n < count; n++, i += 3) {
      const u = clamp((x + n * step - centre[0]) / half[0]);
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

function basis(u: number, v: number): number[] {
  return [1, u, v, u * u, u * v, v * v];
}

function robustFit(rows: readonly (readonly number[])[], values: readonly number[]): number[] {
  const terms = rows[0].length;
  const n = rows.length;
  const weights = new Float64Array(n).fill(1);
  const residuals = new Float64Array(n);
  const sizes = new Float64Array(n);
  let k: number[] = [];
  for (let round = 0; round < 5; round++) {
    const normal = new Float64Array(terms * terms);
    const right = new Float64Array(terms);
    for (let i = 0; i < n; i++) {
      const row = rows[i];
      for (let p = 0; p < terms; p++) {
        const weighted = weights[i] * row[p];
        right[p] += weighted * values[i];
        for (let q = 0; q < terms; q++) normal[p * terms + q] += weighted * row[q];
      }
    }
    // All cells in one row or column leave a slope open; this keeps it at zero instead of anywhere.
    for (let p = 1; p < terms; p++) normal[p * terms + p] += 1e-9 * n;
    k = solve(Matrix.from1DArray(terms, terms, normal), Matrix.columnVector(right)).to1DArray();
    for (let i = 0; i < n; i++) {
      let fitted = 0;
      for (let p = 0; p < terms; p++) fitted += rows[i][p] * k[p];
      residuals[i] = values[i] - fitted;
      sizes[i] = Math.abs(residuals[i]);
    }
    sizes.sort();
    const scale = Math.max(1e-9, 1.4826 * sizes[n >> 1]);
    for (let i = 0; i < n; i++) {
      const t = residuals[i] / (4.685 * scale);
      weights[i] = Math.abs(t) < 1 ? (1 - t * t) ** 2 : 0;
    }
  }
  return k;
}
