/** The projective map of a plane: where a point of one drawing lies in a picture of it. */

export type Point = readonly [x: number, y: number];

/** 9 numbers, row-major, the last one 1 unless the map sends the origin to infinity; maps the column (x, y, 1). */
export type Homography = readonly number[];

/**
 * The map that takes each point of `from` to its partner in `to`: exact for four points, least squares for more.
 * Both sets are first shifted and scaled to their own size, else the equations lose half of their digits.
 * Throws a RangeError when the points do not fix a map (fewer than four, or three of four on one line).
 * Source: direct linear transformation with normalisation, Hartley 1997, IEEE Trans. PAMI 19(6), 580–593.
 */
export function homography(from: readonly Point[], to: readonly Point[]): Homography {
  if (from.length !== to.length || from.length < 4) {
    throw new RangeError(`A homography needs four or more pairs of points; got ${from.length} and ${to.length}.`);
  }
  const a = normaliser(from);
  const b = normaliser(to);
  const normal = new Float64Array(64);
  const right = new Float64Array(8);
  for (let i = 0; i < from.length; i++) {
    const [x, y] = place(a, from[i]);
    const [u, v] = place(b, to[i]);
    addEquation(normal, right, [x, y, 1, 0, 0, 0, -u * x, -u * y], u);
    addEquation(normal, right, [0, 0, 0, x, y, 1, -v * x, -v * y], v);
  }
  const h = solve8(normal, right);
  // to = B⁻¹ · H · A with A, B the normalisers (scale s, centre c)
  const [h0, h1, h2, h3, h4, h5, h6, h7] = h;
  const inner = [h0, h1, h2, h3, h4, h5, h6, h7, 1];
  const A = [a.scale, 0, -a.scale * a.x, 0, a.scale, -a.scale * a.y, 0, 0, 1];
  const Binv = [1 / b.scale, 0, b.x, 0, 1 / b.scale, b.y, 0, 0, 1];
  const full = multiply3(Binv, multiply3(inner, A));
  const last = Math.abs(full[8]) > 1e-12 ? full[8] : 1;
  return full.map((value) => value / last);
}

/** Where a homography (row-major, 3 × 3) sends a point. */
export function mapPoint(h: Homography, p: Point): Point {
  const w = h[6] * p[0] + h[7] * p[1] + h[8];
  return [(h[0] * p[0] + h[1] * p[1] + h[2]) / w, (h[3] * p[0] + h[4] * p[1] + h[5]) / w];
}

/** The corners of an upright box, mapped: top left, top right, bottom right, bottom left. */
export function mapBox(
  h: Homography,
  [x, y, width, height]: readonly [x: number, y: number, width: number, height: number],
): readonly [Point, Point, Point, Point] {
  return [
    mapPoint(h, [x, y]),
    mapPoint(h, [x + width, y]),
    mapPoint(h, [x + width, y + height]),
    mapPoint(h, [x, y + height]),
  ];
}

/** The map back: to → from. */
export function invertHomography(h: Homography): Homography {
  const c0 = h[4] * h[8] - h[5] * h[7];
  const c1 = h[5] * h[6] - h[3] * h[8];
  const c2 = h[3] * h[7] - h[4] * h[6];
  const det = h[0] * c0 + h[1] * c1 + h[2] * c2;
  const back = [
    c0,
    h[2] * h[7] - h[1] * h[8],
    h[1] * h[5] - h[2] * h[4],
    c1,
    h[0] * h[8] - h[2] * h[6],
    h[2] * h[3] - h[0] * h[5],
    c2,
    h[1] * h[6] - h[0] * h[7],
    h[0] * h[4] - h[1] * h[3],
  ].map((value) => value / det);
  const last = Math.abs(back[8]) > 1e-12 ? back[8] : 1;
  return back.map((value) => value / last);
}

interface Normaliser {
  readonly x: number;
  readonly y: number;
  readonly scale: number;
}

function normaliser(points: readonly Point[]): Normaliser {
  const x = points.reduce((sum, p) => sum + p[0], 0) / points.length;
  const y = points.reduce((sum, p) => sum + p[1], 0) / points.length;
  const spread = points.reduce((sum, p) => sum + Math.hypot(p[0] - x, p[1] - y), 0) / points.length;
  if (!(spread > 0)) throw new RangeError('A homography needs points that differ; all of them lie in one place.');
  return { x, y, scale: Math.SQRT2 / spread };
}

function place(n: Normaliser, p: Point): Point {
  return [n.scale * (p[0] - n.x), n.scale * (p[1] - n.y)];
}

function addEquation(normal: Float64Array, right: Float64Array, row: readonly number[], value: number): void {
  for (let i = 0; i < 8; i++) {
    right[i] += row[i] * value;
    for (let j = 0; j < 8; j++) normal[8 * i + j] += row[i] * row[j];
  }
}

/** Gauss elimination with partial pivots, in place. */
function solve8(m: Float64Array, right: Float64Array): Float64Array {
  for (let k = 0; k < 8; k++) {
    let pivot = k;
    for (let i = k + 1; i < 8; i++) if (Math.abs(m[8 * i + k]) > Math.abs(m[8 * pivot + k])) pivot = i;
    if (Math.abs(m[8 * pivot + k]) < 1e-10) {
      throw new RangeError('A homography needs four points of which no three lie on one line.');
    }
    if (pivot !== k) {
      for (let j = 0; j < 8; j++) [m[8 * k + j], m[8 * pivot + j]] = [m[8 * pivot + j], m[8 * k + j]];
      [right[k], right[pivot]] = [right[pivot], right[k]];
    }
    for (let i = k + 1; i < 8; i++) {
      const f = m[8 * i + k] / m[8 * k + k];
      for (let j = k; j < 8; j++) m[8 * i + j] -= f * m[8 * k + j];
      right[i] -= f * right[k];
    }
  }
  for (let k = 7; k >= 0; k--) {
    let sum = right[k];
    for (let j = k + 1; j < 8; j++) sum -= m[8 * k + j] * right[j];
    right[k] = sum / m[8 * k + k];
  }
  return right;
}

/** Product of two 3 × 3, row by row. */
export function multiply3(a: readonly number[], b: readonly number[]): number[] {
  const out: number[] = [];
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) out.push(a[3 * i] * b[j] + a[3 * i + 1] * b[3 + j] + a[3 * i + 2] * b[6 + j]);
  }
  return out;
}
