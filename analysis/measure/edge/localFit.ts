/** Local quadratic fits along evenly spaced values (Savitzky & Golay's idea with tricube weights, Cleveland 1979), gaps allowed. */

export interface LocalFit {
  readonly value: Float64Array;
  /** Per station. */
  readonly slope: Float64Array;
  readonly second: Float64Array;
}

/**
 * All values count. @param half Half the window in stations. @param stride Fitted at every so many stations, with Hermite's cubic between them. Where
 * fewer than four values lie in a window, their weighted mean.
 */
export function localFit(values: Float64Array, half: number, stride: number): LocalFit {
  const n = values.length;
  const value = new Float64Array(n);
  const slope = new Float64Array(n);
  const second = new Float64Array(n);
  const h = Math.max(1, Math.round(half));
  const kernel = kernelOf(h);
  for (let i = 0; i < n; i = i < n - 1 ? Math.min(n - 1, i + stride) : n) {
    fitAt(values, i, h, kernel, value, slope, second);
  }
  if (stride > 1) fillBetween(value, slope, second, stride);
  return { value, slope, second };
}

function fitAt(
  values: Float64Array,
  i: number,
  h: number,
  kernel: Float64Array,
  value: Float64Array,
  slope: Float64Array,
  second: Float64Array,
): void {
  let s0 = 0, s1 = 0, s2 = 0, s3 = 0, s4 = 0, t0 = 0, t1 = 0, t2 = 0; // prettier-ignore
  const from = Math.max(-h, -i);
  const to = Math.min(h, values.length - 1 - i);
  for (let k = from; k <= to; k++) {
    const w = kernel[k < 0 ? -k : k];
    const v = values[i + k];
    const wk = w * k;
    const wk2 = wk * k;
    s0 += w;
    s1 += wk;
    s2 += wk2;
    s3 += wk2 * k;
    s4 += wk2 * k * k;
    t0 += w * v;
    t1 += wk * v;
    t2 += wk2 * v;
  }
  if (to - from < 3) {
    value[i] = t0 / s0;
    return;
  }
  const c00 = s2 * s4 - s3 * s3;
  const c01 = s2 * s3 - s1 * s4;
  const c02 = s1 * s3 - s2 * s2;
  const c11 = s0 * s4 - s2 * s2;
  const c12 = s1 * s2 - s0 * s3;
  const c22 = s0 * s2 - s1 * s1;
  const det = s0 * c00 + s1 * c01 + s2 * c02;
  value[i] = (c00 * t0 + c01 * t1 + c02 * t2) / det;
  slope[i] = (c01 * t0 + c11 * t1 + c12 * t2) / det;
  second[i] = (2 * (c02 * t0 + c12 * t1 + c22 * t2)) / det;
}

/** Room for localPath's fits of one line, which later rounds look back at. */
interface PathFits {
  readonly outX: Float64Array;
  readonly outY: Float64Array;
  readonly slopeX: Float64Array;
  readonly slopeY: Float64Array;
}

/** New room, filled with noughts, for a line of so many stations. */
export function pathFits(stations: number): PathFits {
  return {
    outX: new Float64Array(stations),
    outY: new Float64Array(stations),
    slopeX: new Float64Array(stations),
    slopeY: new Float64Array(stations),
  };
}

/**
 * The values alone of two fits at once over the same windows and weights (x and y of one path), NaN where fewer than four count. Fitted at some
 * stations of each window only, with Hermite's cubic between them: the fit is smooth over its window.
 * @param changed How many weights before each station are others than when `fits` was last written; null: all are new. Where a window holds none, its fit stands.
 */
export function localPath(
  x: Float64Array,
  y: Float64Array,
  half: Float64Array,
  weight: Float64Array,
  changed: Int32Array | null,
  fits: PathFits,
): void {
  const { outX, outY, slopeX, slopeY } = fits;
  const n = x.length;
  let before = -1;
  let isNewBefore = false;
  for (let i = 0; i < n;) {
    const h = Math.max(1, Math.round(half[i]));
    const isNew = changed === null || changed[Math.min(n, i + h + 1)] !== changed[Math.max(0, i - h)];
    if (isNew) fitBoth(x, y, i, h, kernelOf(h), weight, outX, outY, slopeX, slopeY);
    if (before >= 0 && (isNew || isNewBefore)) {
      hermite(outX, before, i, slopeX[before], slopeX[i]);
      hermite(outY, before, i, slopeY[before], slopeY[i]);
    }
    before = i;
    isNewBefore = isNew;
    i = i < n - 1 ? Math.min(n - 1, i + Math.max(1, Math.floor(h * FITTED_EVERY))) : n;
  }
}

function fitBoth(
  x: Float64Array,
  y: Float64Array,
  i: number,
  h: number,
  kernel: Float64Array,
  weight: Float64Array,
  outX: Float64Array,
  outY: Float64Array,
  slopeX: Float64Array,
  slopeY: Float64Array,
): void {
  let s0 = 0, s1 = 0, s2 = 0, s3 = 0, s4 = 0, x0 = 0, x1 = 0, x2 = 0, y0 = 0, y1 = 0, y2 = 0, count = 0; // prettier-ignore
  const from = Math.max(-h, -i);
  const to = Math.min(h, x.length - 1 - i);
  for (let k = from; k <= to; k++) {
    const w = kernel[k < 0 ? -k : k] * weight[i + k];
    if (w === 0) continue;
    const wk = w * k;
    const wk2 = wk * k;
    const vx = x[i + k];
    const vy = y[i + k];
    count++;
    s0 += w;
    s1 += wk;
    s2 += wk2;
    s3 += wk2 * k;
    s4 += wk2 * k * k;
    x0 += w * vx;
    x1 += wk * vx;
    x2 += wk2 * vx;
    y0 += w * vy;
    y1 += wk * vy;
    y2 += wk2 * vy;
  }
  const c00 = s2 * s4 - s3 * s3;
  const c01 = s2 * s3 - s1 * s4;
  const c02 = s1 * s3 - s2 * s2;
  const c11 = s0 * s4 - s2 * s2;
  const c12 = s1 * s2 - s0 * s3;
  const det = count < 4 ? NaN : s0 * c00 + s1 * c01 + s2 * c02;
  outX[i] = (c00 * x0 + c01 * x1 + c02 * x2) / det;
  outY[i] = (c00 * y0 + c01 * y1 + c02 * y2) / det;
  slopeX[i] = (c01 * x0 + c11 * x1 + c12 * x2) / det;
  slopeY[i] = (c01 * y0 + c11 * y1 + c12 * y2) / det;
}

/** Of half a window: the cubic between two such stations is off by some thousandths of what the window's shortest wave would be. */
const FITTED_EVERY = 0.2;

function hermite(value: Float64Array, a: number, b: number, slopeA: number, slopeB: number): void {
  const span = b - a;
  for (let i = a + 1; i < b; i++) {
    const t = (i - a) / span;
    const back = 1 - t;
    value[i] =
      back * back * ((1 + 2 * t) * value[a] + t * span * slopeA) +
      t * t * ((1 + 2 * back) * value[b] - back * span * slopeB);
  }
}

/** Hermite's cubic between stations that were fitted: their slopes are known. */
function fillBetween(value: Float64Array, slope: Float64Array, second: Float64Array, stride: number): void {
  const n = value.length;
  for (let a = 0; a < n - 1;) {
    const b = Math.min(n - 1, a + stride);
    const span = b - a;
    for (let i = a + 1; i < b; i++) {
      const t = (i - a) / span;
      const back = 1 - t;
      value[i] =
        back * back * ((1 + 2 * t) * value[a] + t * span * slope[a]) +
        t * t * ((1 + 2 * back) * value[b] - back * span * slope[b]);
      slope[i] = back * slope[a] + t * slope[b];
      second[i] = back * second[a] + t * second[b];
    }
    a = b;
  }
}

/** Few windows are ever asked for. */
const kernels = new Map<number, Float64Array>();

function kernelOf(half: number): Float64Array {
  let kernel = kernels.get(half);
  if (!kernel) {
    kernel = tricube(half);
    kernels.set(half, kernel);
  }
  return kernel;
}

/** Weights at 0, 1 … half stations; the window's end keeps a little, so that a full window has 2 half + 1 values. */
function tricube(half: number): Float64Array {
  return Float64Array.from({ length: half + 1 }, (_, k) => (1 - (k / (half + 1)) ** 3) ** 3);
}
