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

export function lagSums(edges: readonly Departures[], stretches: number, lags: number): LagSums {
  const products = new Float64Array(stretches * (lags + 1));
  const counts = new Float64Array(stretches * (lags + 1));
  for (const { values, stretch } of edges) {
    for (let i = 0; i < values.length; i++) {
      const v = values[i];
      if (Number.isNaN(v)) continue;
      const row = stretch[i] * (lags + 1);
      const to = Math.min(lags, values.length - 1 - i);
      for (let k = 0; k <= to; k++) {
        const other = values[i + k];
        if (Number.isNaN(other)) continue;
        products[row + k] += v * other;
        counts[row + k]++;
      }
    }
  }
  return { stretches, lags, products, counts };
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
  const { stretches, lags } = sums;
  const covariance = new Float64Array(lags + 1);
  for (let k = 0; k <= lags; k++) {
    let product = 0;
    let count = 0;
    for (let s = 0; s < stretches; s++) {
      const w = weight === null ? 1 : weight[s];
      product += w * sums.products[s * (lags + 1) + k];
      count += w * sums.counts[s * (lags + 1) + k];
    }
    // Hann's lag window keeps the spectrum from ringing.
    covariance[k] = count > 0 ? (product / count) * (0.5 + 0.5 * Math.cos((Math.PI * k) / (lags + 1))) : 0;
  }
  // Restored power by frequency; the sum of all but half the two ends, over `lags`, is the variance.
  const power = new Float64Array(lags + 1);
  let first = lags;
  let last = -1;
  for (let j = 0; j <= lags; j++) {
    let seen = covariance[0];
    for (let k = 1; k <= lags; k++) seen += 2 * covariance[k] * Math.cos((Math.PI * j * k) / lags);
    const { left, kept, noise } = response[j];
    if (left < LEAST_LEFT) continue;
    if (kept < LEAST_KEPT) break;
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

/** By frequency j / (2 lags) per station: share of the power that path and blur leave, and the noise's own. */
export type Response = readonly { readonly left: number; readonly kept: number; readonly noise: number }[];

export function responseOf(edge: EdgeResponse, lags: number): Response {
  const total = [...edge.windows.values()].reduce((a, b) => a + b, 0) || 1;
  return Array.from({ length: lags + 1 }, (_, j) => {
    const perStation = j / (2 * lags);
    let left = 0;
    for (const [half, count] of edge.windows) left += (count / total) * (1 - pathGain(half, perStation)) ** 2;
    return {
      left,
      kept: Math.exp(-((2 * Math.PI * (perStation / edge.stepPx) * edge.blurPx) ** 2)),
      // Stations a pixel apart share pixels: their noise is not quite white.
      noise: edge.noise * (1 + 0.8 * Math.cos(2 * Math.PI * perStation)) * left,
    };
  });
}

/** What the local parabola with tricube weights (localFit.ts) keeps of a wave, in the middle of its window. */
function pathGain(half: number, perStation: number): number {
  let s0 = 0, s2 = 0, s4 = 0, c0 = 0, c2 = 0; // prettier-ignore
  for (let k = -half; k <= half; k++) {
    const w = (1 - (Math.abs(k) / (half + 1)) ** 3) ** 3;
    const wave = Math.cos(2 * Math.PI * perStation * k);
    s0 += w;
    s2 += w * k * k;
    s4 += w * k ** 4;
    c0 += w * wave;
    c2 += w * k * k * wave;
  }
  return (s4 * c0 - s2 * c2) / (s0 * s4 - s2 * s2);
}
