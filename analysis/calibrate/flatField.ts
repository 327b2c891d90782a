/** Light over the bed as a quadratic surface per channel: reading it off, along a row or at a place. */
import type { FlatField, PointMm } from './calibration.ts';

/** Beyond what was seen the surface is held: a quadratic runs away. */
export const FLAT_FIELD_REACH = 1.2;

/** The light at a place of the bed for one channel, about 1. */
export function lightAt(field: FlatField, channel: number, placeMm: PointMm): number {
  const u = reach((placeMm[0] - field.centreMm[0]) / field.halfMm[0]);
  const v = reach((placeMm[1] - field.centreMm[1]) / field.halfMm[1]);
  const c = field.coefficients[channel];
  return c[0] + c[1] * u + c[2] * v + c[3] * u * u + c[4] * u * v + c[5] * v * v;
}

/** One over the light along a row of pixels, three channels interleaved, written to `out` (3 × widthPx). */
export function gainRow(
  field: FlatField,
  firstMm: PointMm,
  stepMm: number,
  widthPx: number,
  out: Float32Array | Float64Array,
): void {
  const v = reach((firstMm[1] - field.centreMm[1]) / field.halfMm[1]);
  for (let channel = 0; channel < 3; channel++) {
    const c = field.coefficients[channel];
    const c0 = c[0] + c[2] * v + c[5] * v * v;
    const c1 = c[1] + c[4] * v;
    const c2 = c[3];
    for (let x = 0; x < widthPx; x++) {
      const u = reach((firstMm[0] + x * stepMm - field.centreMm[0]) / field.halfMm[0]);
      out[3 * x + channel] = 1 / (c0 + c1 * u + c2 * u * u);
    }
  }
}

function reach(t: number): number {
  return t > FLAT_FIELD_REACH ? FLAT_FIELD_REACH : t < -FLAT_FIELD_REACH ? -FLAT_FIELD_REACH : t;
}
