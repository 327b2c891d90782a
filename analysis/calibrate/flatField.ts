/** Light over the bed: a quadratic surface per channel, or a white sheet's grid. Reading it off, along a row or at a place. */
import type { FlatField, PointMm } from './calibration.ts';

/** Beyond what was seen the surface is held: a quadratic runs away. */
export const FLAT_FIELD_REACH = 1.2;

/** The light at a place of the bed for one channel, about 1. */
export function lightAt(field: FlatField, channel: number, placeMm: PointMm): number {
  const u = (placeMm[0] - field.centreMm[0]) / field.halfMm[0];
  const v = (placeMm[1] - field.centreMm[1]) / field.halfMm[1];
  if (field.grid !== undefined) {
    const { columns, rows, values } = field.grid;
    const [x, right] = node(u, columns);
    const [y, down] = node(v, rows);
    const of = values[channel];
    const at = y * columns + x;
    const upper = of[at] + right * (of[at + 1] - of[at]);
    const lower = of[at + columns] + right * (of[at + columns + 1] - of[at + columns]);
    return upper + down * (lower - upper);
  }
  return quadratic(field.coefficients[channel], reach(u), reach(v));
}

/** One over the light along a row of pixels, three channels interleaved, written to `out` (3 × widthPx). */
export function gainRow(
  field: FlatField,
  firstMm: PointMm,
  stepMm: number,
  widthPx: number,
  out: Float32Array | Float64Array,
): void {
  if (field.grid !== undefined) return gainGridRow(field, field.grid, firstMm, stepMm, widthPx, out);
  const v = reach((firstMm[1] - field.centreMm[1]) / field.halfMm[1]);
  const [r, g, b] = field.coefficients;
  const [r0, g0, b0] = [r, g, b].map((c) => c[0] + c[2] * v + c[5] * v * v);
  const [r1, g1, b1] = [r, g, b].map((c) => c[1] + c[4] * v);
  const [r2, g2, b2] = [r[3], g[3], b[3]];
  for (let x = 0, i = 0; x < widthPx; x++, i += 3) {
    const u = reach((firstMm[0] + x * stepMm - field.centreMm[0]) / field.halfMm[0]);
    out[i] = 1 / (r0 + r1 * u + r2 * u * u);
    out[i + 1] = 1 / (g0 + g1 * u + g2 * u * u);
    out[i + 2] = 1 / (b0 + b1 * u + b2 * u * u);
  }
}

function gainGridRow(
  field: FlatField,
  grid: NonNullable<FlatField['grid']>,
  firstMm: PointMm,
  stepMm: number,
  widthPx: number,
  out: Float32Array | Float64Array,
): void {
  const { columns, rows, values } = grid;
  const [y, down] = node((firstMm[1] - field.centreMm[1]) / field.halfMm[1], rows);
  for (let channel = 0; channel < 3; channel++) {
    const of = values[channel];
    const line = new Float64Array(columns);
    for (let k = 0; k < columns; k++) {
      const at = y * columns + k;
      line[k] = of[at] + down * (of[at + columns] - of[at]);
    }
    for (let x = 0; x < widthPx; x++) {
      const [k, right] = node((firstMm[0] + x * stepMm - field.centreMm[0]) / field.halfMm[0], columns);
      out[3 * x + channel] = 1 / (line[k] + right * (line[k + 1] - line[k]));
    }
  }
}

/** The node before a place of −1..1 and the share of the way to the next; beyond the ends the light is held. */
function node(t: number, count: number): readonly [index: number, share: number] {
  const at = ((t < -1 ? -1 : t > 1 ? 1 : t) + 1) * 0.5 * (count - 1);
  const index = Math.min(count - 2, Math.floor(at));
  return [index, at - index];
}

function quadratic(c: readonly number[], u: number, v: number): number {
  return c[0] + c[1] * u + c[2] * v + c[3] * u * u + c[4] * u * v + c[5] * v * v;
}

function reach(t: number): number {
  return t > FLAT_FIELD_REACH ? FLAT_FIELD_REACH : t < -FLAT_FIELD_REACH ? -FLAT_FIELD_REACH : t;
}
