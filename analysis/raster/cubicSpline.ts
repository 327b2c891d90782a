/**
 * Cubic B-spline interpolation: coefficients once, then any place between pixels. Of all kernels of four taps it bends
 * frequencies least, which keeps a slanting edge's place from swinging with its phase on the grid.
 * Source: Unser, Aldroubi & Eden (1993), IEEE Trans. Signal Processing 41, 821–833 and 834–848.
 */

const POLE = Math.sqrt(3) - 2;
/** The pole's powers beyond this are below 1e-8. */
const HORIZON = 14;

/** @param plane One channel, row-major. @param out Where the coefficients go; `plane` itself may be given. */
export function splineCoefficients(
  plane: Float32Array,
  w: number,
  h: number,
  out: Float32Array = new Float32Array(plane.length),
): Float32Array {
  if (out !== plane) out.set(plane);
  const line = new Float64Array(w);
  for (let y = 0; y < h; y++) {
    alongRow(out, y * w, w, line);
  }
  downColumns(out, w, h);
  return out;
}

// A row at a time: what is called often is soon compiled, what loops over a whole plane once when the plane is nearly done.

function alongRow(data: Float32Array, row: number, w: number, line: Float64Array): void {
  for (let x = 0; x < w; x++) line[x] = 6 * data[row + x];
  filter(line, w);
  for (let x = 0; x < w; x++) data[row + x] = line[x];
}

function filter(line: Float64Array, n: number): void {
  if (n < 2) return;
  let sum = 0;
  for (let k = 0, z = 1; k < Math.min(n, HORIZON); k++, z *= POLE) sum += z * line[k];
  line[0] = sum;
  for (let i = 1; i < n; i++) line[i] += POLE * line[i - 1];
  line[n - 1] = (POLE / (POLE * POLE - 1)) * (line[n - 1] + POLE * line[n - 2]);
  for (let i = n - 2; i >= 0; i--) line[i] = POLE * (line[i + 1] - line[i]);
}

/** The same down all columns at once, row by row as memory lies. */
function downColumns(data: Float32Array, w: number, h: number): void {
  if (h < 2) return;
  const first = new Float64Array(w);
  for (let k = 0, z = 6; k < Math.min(h, HORIZON); k++, z *= POLE) {
    for (let x = 0; x < w; x++) first[x] += z * data[k * w + x];
  }
  for (let x = 0; x < w; x++) data[x] = first[x];
  for (let y = 1; y < h; y++) afterRowAbove(data, y * w, w);
  const last = (h - 1) * w;
  const end = POLE / (POLE * POLE - 1);
  for (let x = 0; x < w; x++) data[last + x] = end * (data[last + x] + POLE * data[last - w + x]);
  for (let y = h - 2; y >= 0; y--) beforeRowBelow(data, y * w, w);
}

function afterRowAbove(data: Float32Array, row: number, w: number): void {
  for (let i = row; i < row + w; i++) data[i] = 6 * data[i] + POLE * data[i - w];
}

function beforeRowBelow(data: Float32Array, row: number, w: number): void {
  for (let i = row; i < row + w; i++) data[i] = POLE * (data[i + w] - data[i]);
}

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
