/**
 * How far edges wander about their own smooth paths. The scanner's blur levels short waves along an edge as it levels
 * everything (a wave of length λ by exp(−2π²σ²/λ²)), and the path itself swallows part of the long ones; so the variance is
 * taken from the spectrum: noise off, blur and path undone where they leave enough to see.
 */

/** One edge: departures from its path, px, NaN where they do not count; and which stretch each station lies in. */
export interface Departures {
  readonly values: Float64Array;
  readonly stretch: Int32Array;
}

/** Products of departures at each lag, summed by stretches: all that the spectrum needs. */
export interface LagSums {
  readonly stretches: number;
  readonly lags: number;
  /** stretch · (lags + 1) + lag */
  readonly products: Float64Array;
  readonly counts: Float64Array;
}

/**
 * @param edges Departures from the path in px, NaN where there is none. @param stretches How many numbers `stretch` goes through. @param
 * lags Largest lag, stations
 */
export function lagSums(edges: readonly Departures[], stretches: number, lags: number): LagSums {
  const products = new Float64Array(stretches * (lags + 1));
  const counts = new Float64Array(stretches * (lags + 1));
  for (const { values, stretch } of edges) addEdge(values, stretch, lags, products, counts);
  return { stretches, lags, products, counts };
}

function addEdge(
  values: Float64Array,
  stretch: Int32Array,
  lags: number,
  products: Float64Array,
  counts: Float64Array,
): void {
  for (let i = 0; i < values.length; i++) {
    if (!Number.isNaN(values[i])) addLags(values, i, lags, products, counts, stretch[i] * (lags + 1));
  }
}

function addLags(
  values: Float64Array,
  i: number,
  lags: number,
  products: Float64Array,
  counts: Float64Array,
  row: number,
): void {
  const v = values[i];
  const to = Math.min(lags, values.length - 1 - i);
  for (let k = 0; k <= to; k++) {
    const other = values[i + k];
    if (Number.isNaN(other)) continue;
    products[row + k] += v * other;
    counts[row + k]++;
  }
}

export interface EdgeResponse {
  /** Variance of one station's edge by the noise of the pixels, px². */
  readonly noise: number;
  /** Sigma of the blur along the edge, px. */
  readonly blurPx: number;
  readonly stepPx: number;
  /** Half the smooth path's window, stations, and how many stations have it. */
  readonly windows: ReadonlyMap<number, number>;
}

/** Where the blur leaves less than this share of a wave's power, it is lost. */
const LEAST_KEPT = 0.1;
/** Below the frequency at which the path leaves this share of the power, the spectrum is taken to go on as it begins. */
const LEAST_LEFT = 0.5;
const ONWARDS = 0.35;

/** Standard deviation, px. @param weight How often each stretch is drawn; null: once. */
export function raggednessPx(sums: LagSums, response: Response, weight: Float64Array | null): number {
  return Math.sqrt(restored(sums, response, weight).variance);
}

/** What of the variance, px², the spectrum does not show: long waves that go on from the next, and short ones that would go on from the last seen. */
export function unseenVariance(sums: LagSums, response: Response): { readonly long: number; readonly short: number } {
  const { long, short } = restored(sums, response, null);
  return { long, short };
}

function restored(
  sums: LagSums,
  response: Response,
  weight: Float64Array | null,
): { readonly variance: number; readonly long: number; readonly short: number } {
  const { lags } = sums;
  const covariance = covarianceOf(sums, weight);
  // Restored power by frequency; the sum of all but half the two ends, over `lags`, is the variance.
  const power = new Float64Array(lags + 1);
  const cosines = cosinesOf(lags);
  let first = lags;
  let last = -1;
  for (let j = 0; j <= lags; j++) {
    const { left, kept, noise } = response[j];
    if (left < LEAST_LEFT) continue;
    if (kept < LEAST_KEPT) break;
    const seen = powerAt(covariance, j, cosines);
    first = Math.min(first, j);
    last = j;
    power[j] = (seen - noise) / (kept * left);
  }
  if (last < 0) return { variance: 0, long: 0, short: 0 };
  // Of a wave just above that limit most of the spectrum's next part knows nothing, so a low percentile goes on downwards.
  const next = power.slice(first, Math.min(last, 3 * first) + 1).sort();
  power.fill(Math.max(0, next[Math.floor(ONWARDS * (next.length - 1))]), 0, first);
  let variance = 0;
  let long = 0;
  for (let j = 0; j <= last; j++) {
    const part = ((j === 0 || j === lags ? 0.5 : 1) * power[j]) / lags;
    variance += part;
    if (j < first) long += part;
  }
  // Beyond the last frequency seen, power falls on as it fell before: half of a triangle as wide as what was seen.
  const end = power.slice(Math.max(first, Math.floor(0.75 * last)), last + 1);
  const short = (0.5 * last * Math.max(0, end.reduce((a, b) => a + b, 0) / end.length)) / lags;
  return { variance: Math.max(0, variance), long, short };
}

function covarianceOf({ stretches, lags, products, counts }: LagSums, weight: Float64Array | null): Float64Array {
  const product = new Float64Array(lags + 1);
  const count = new Float64Array(lags + 1);
  for (let s = 0; s < stretches; s++) {
    const w = weight === null ? 1 : weight[s];
    if (w > 0) addRow(product, products, s * (lags + 1), w);
    if (w > 0) addRow(count, counts, s * (lags + 1), w);
  }
  // Hann's lag window keeps the spectrum from ringing.
  for (let k = 0; k <= lags; k++) {
    const window = 0.5 + 0.5 * Math.cos((Math.PI * k) / (lags + 1));
    product[k] = count[k] > 0 ? (product[k] / count[k]) * window : 0;
  }
  return product;
}

function addRow(sums: Float64Array, values: Float64Array, from: number, weight: number): void {
  for (let k = 0; k < sums.length; k++) sums[k] += weight * values[from + k];
}

function powerAt(covariance: Float64Array, j: number, cosines: Float64Array): number {
  let seen = covariance[0];
  for (let k = 1, turn = j; k < covariance.length; k++, turn += j) {
    if (turn >= cosines.length) turn -= cosines.length;
    seen += 2 * covariance[k] * cosines[turn];
  }
  return seen;
}

/** cos(πm / lags) of a whole turn: all that waves of these frequencies come to at whole lags. */
function cosinesOf(lags: number): Float64Array {
  const cosines = new Float64Array(2 * lags);
  for (let m = 0; m < cosines.length; m++) cosines[m] = Math.cos((Math.PI * m) / lags);
  return cosines;
}

/** By frequency j / (2 lags) per station: share of the power that path and blur leave, and the noise's own. */
export type Response = readonly { readonly left: number; readonly kept: number; readonly noise: number }[];

/** @returns lags + 1 entries, the last of waves of two stations */
export function responseOf(edge: EdgeResponse, lags: number): Response {
  const total = [...edge.windows.values()].reduce((a, b) => a + b, 0) || 1;
  const left = new Float64Array(lags + 1);
  const cosines = cosinesOf(lags);
  for (const [half, count] of edge.windows) {
    const gains = pathGains(half, lags, cosines);
    for (let j = 0; j <= lags; j++) left[j] += (count / total) * (1 - gains[j]) ** 2;
  }
  return Array.from(left, (left, j) => {
    const perStation = j / (2 * lags);
    return {
      left,
      kept: Math.exp(-((2 * Math.PI * (perStation / edge.stepPx) * edge.blurPx) ** 2)),
      // Stations a pixel apart share pixels: their noise is not quite white.
      noise: edge.noise * (1 + 0.8 * Math.cos(2 * Math.PI * perStation)) * left,
    };
  });
}

/** What the local parabola with tricube weights (localFit.ts) keeps of a wave of each frequency, in the middle of its window. */
function pathGains(half: number, lags: number, cosines: Float64Array): Float64Array {
  const weight = new Float64Array(half + 1);
  let s0 = 0, s2 = 0, s4 = 0; // prettier-ignore
  for (let k = 0; k <= half; k++) {
    // Both ways from the middle.
    weight[k] = (k === 0 ? 1 : 2) * (1 - (k / (half + 1)) ** 3) ** 3;
    s0 += weight[k];
    s2 += weight[k] * k * k;
    s4 += weight[k] * k ** 4;
  }
  const gains = new Float64Array(lags + 1);
  for (let j = 0; j <= lags; j++) gains[j] = gainAt(weight, j, cosines, s0, s2, s4);
  return gains;
}

function gainAt(weight: Float64Array, j: number, cosines: Float64Array, s0: number, s2: number, s4: number): number {
  let c0 = 0;
  let c2 = 0;
  for (let k = 0, turn = 0; k < weight.length; k++, turn += j) {
    if (turn >= cosines.length) turn -= cosines.length;
    const wave = weight[k] * cosines[turn];
    c0 += wave;
    c2 += wave * k * k;
  }
  return (s4 * c0 - s2 * c2) / (s0 * s4 - s2 * s2);
}
