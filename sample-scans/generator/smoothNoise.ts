/** Smooth random fields in one and two dimensions: normal deviates on a lattice in mm, joined by quadratic B-splines. Mean 0, sd 1. */
import { fillNormals } from './random.ts';
import type { Random } from './random.ts';

/** Mean over a cell of Σ w² of a quadratic B-spline; its square root brings the spline back to sd 1. */
const SPLINE_VARIANCE = 0.55;

export interface Lattice {
  readonly values: Float32Array; // columns × rows, row-major
  readonly columns: number;
  readonly rows: number;
  readonly leftMm: number;
  readonly topMm: number;
  readonly spacingXMm: number;
  readonly spacingYMm: number;
}

export interface Area {
  readonly leftMm: number;
  readonly topMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** The field over an area; beyond it the edge is held. The spacing is about the correlation length. */
export function drawLattice(random: Random, area: Area, spacingXMm: number, spacingYMm = spacingXMm): Lattice {
  const columns = Math.ceil(area.widthMm / spacingXMm) + 3;
  const rows = Math.ceil(area.heightMm / spacingYMm) + 3;
  const values = new Float32Array(columns * rows);
  fillNormals(random, values);
  return { values, columns, rows, leftMm: area.leftMm, topMm: area.topMm, spacingXMm, spacingYMm };
}

export function latticeAt(lattice: Lattice, xMm: number, yMm: number): number {
  const { values, columns, rows } = lattice;
  const x = clamp((xMm - lattice.leftMm) / lattice.spacingXMm, columns - 2.001);
  const y = clamp((yMm - lattice.topMm) / lattice.spacingYMm, rows - 2.001);
  const i = Math.floor(x);
  const j = Math.floor(y);
  const u = x - i;
  const v = y - j;
  const w0 = 0.5 * (1 - u) * (1 - u);
  const w1 = 0.5 + u * (1 - u);
  const w2 = 0.5 * u * u;
  // Written out: a closure here would be built anew for each of millions of calls.
  const a = j * columns + i;
  const b = a + columns;
  const c = b + columns;
  return (
    (0.5 * (1 - v) * (1 - v) * (w0 * values[a] + w1 * values[a + 1] + w2 * values[a + 2]) +
      (0.5 + v * (1 - v)) * (w0 * values[b] + w1 * values[b + 1] + w2 * values[b + 2]) +
      0.5 * v * v * (w0 * values[c] + w1 * values[c + 1] + w2 * values[c + 2])) /
    SPLINE_VARIANCE
  );
}

/** out[i] += amplitude × field(x0Mm + i·stepMm, yMm) for a whole row, three taps a value. */
export function addLatticeRow(
  lattice: Lattice,
  yMm: number,
  x0Mm: number,
  stepMm: number,
  amplitude: number,
  out: Float32Array,
): void {
  const { values, columns, rows, spacingXMm } = lattice;
  const y = clamp((yMm - lattice.topMm) / lattice.spacingYMm, rows - 2.001);
  const j = Math.floor(y);
  const v = y - j;
  const scale = amplitude / SPLINE_VARIANCE;
  const v0 = scale * 0.5 * (1 - v) * (1 - v);
  const v1 = scale * (0.5 + v * (1 - v));
  const v2 = scale * 0.5 * v * v;
  const line = new Float32Array(columns);
  for (let i = 0, at = j * columns; i < columns; i++, at++) {
    line[i] = v0 * values[at] + v1 * values[at + columns] + v2 * values[at + 2 * columns];
  }
  const last = columns - 2.001;
  const start = (x0Mm - lattice.leftMm) / spacingXMm;
  const step = stepMm / spacingXMm;
  for (let i = 0; i < out.length; i++) {
    const x = clamp(start + i * step, last);
    const k = Math.floor(x);
    const u = x - k;
    out[i] += 0.5 * (1 - u) * (1 - u) * line[k] + (0.5 + u * (1 - u)) * line[k + 1] + 0.5 * u * u * line[k + 2];
  }
}

/** A smooth random curve over a length in mm. */
export interface Wander {
  readonly values: Float32Array;
  readonly spacingMm: number;
}

export function drawWander(random: Random, lengthMm: number, spacingMm: number): Wander {
  const values = new Float32Array(Math.ceil(lengthMm / spacingMm) + 4);
  fillNormals(random, values);
  return { values, spacingMm };
}

export function wanderAt(wander: Wander, atMm: number): number {
  const { values } = wander;
  const x = clamp(atMm / wander.spacingMm, values.length - 2.001);
  const i = Math.floor(x);
  const u = x - i;
  const sum = 0.5 * (1 - u) * (1 - u) * values[i] + (0.5 + u * (1 - u)) * values[i + 1] + 0.5 * u * u * values[i + 2];
  return sum / Math.sqrt(SPLINE_VARIANCE);
}

function clamp(v: number, last: number): number {
  return v < 0 ? 0 : v > last ? last : v;
}
