/**
 * Cubic B-spline interpolation from its coefficients (tiledSpline.ts). Of all kernels of four taps it bends
 * frequencies least, which keeps a slanting edge's place from swinging with its phase on the grid.
 * Source: Unser, Aldroubi & Eden (1993), IEEE Trans. Signal Processing 41, 821–833 and 834–848.
 */

/**
 * Values at evenly spaced places along a straight line, pixel centres at whole numbers; NaN within two pixels of the raster's
 * border and beyond. All of it in one loop, since a call for every value would allocate its number.
 * @param at First of them in `out`. @param count How many; the first lies at (x, y), each next one (dx, dy) further.
 */
export function splineAlong(
  coefficients: Float32Array,
  w: number,
  h: number,
  x: number,
  y: number,
  dx: number,
  dy: number,
  out: Float32Array | Float64Array,
  at: number,
  count: number,
): void {
  for (let k = at, end = at + count; k < end; k++, x += dx, y += dy) {
    const left = Math.floor(x);
    const top = Math.floor(y);
    if (!(left >= 1 && top >= 1 && left < w - 2 && top < h - 2)) {
      out[k] = NaN;
      continue;
    }
    const u = x - left;
    const v = y - top;
    const u3 = (u * u * u) / 6;
    const u0 = ((1 - u) * (1 - u) * (1 - u)) / 6;
    const u1 = 2 / 3 - u * u * (1 - 0.5 * u);
    const u2 = 1 - u0 - u1 - u3;
    const v3 = (v * v * v) / 6;
    const v0 = ((1 - v) * (1 - v) * (1 - v)) / 6;
    const v1 = 2 / 3 - v * v * (1 - 0.5 * v);
    const i = (top - 1) * w + left - 1;
    const j = i + w;
    const m = j + w;
    const n = m + w;
    out[k] =
      v0 * (u0 * coefficients[i] + u1 * coefficients[i + 1] + u2 * coefficients[i + 2] + u3 * coefficients[i + 3]) +
      v1 * (u0 * coefficients[j] + u1 * coefficients[j + 1] + u2 * coefficients[j + 2] + u3 * coefficients[j + 3]) +
      (1 - v0 - v1 - v3) *
        (u0 * coefficients[m] + u1 * coefficients[m + 1] + u2 * coefficients[m + 2] + u3 * coefficients[m + 3]) +
      v3 * (u0 * coefficients[n] + u1 * coefficients[n + 1] + u2 * coefficients[n + 2] + u3 * coefficients[n + 3]);
  }
}
