/** How much of the profile is chance: paper's pattern and the scanner's noise, over the three channels and along the run. */
import { sgg } from 'ml-savitzky-golay-generalized';
import { valueAbove } from '../../quantile.ts';
import type { PaperLine } from './baseline.ts';
import type { StripProfile } from './profile.ts';

export interface ProfileNoise {
  /**
   * Long-run covariance of one bin, 3 × 3 row-major: with it, a sum over many bins has the right noise although neighbours go
   * together. Paper's pattern is grey, so it is large along (1, 1, 1) and small for differences between channels.
   */
  readonly covariance: Float64Array;
  /** Factor on the standard deviation of each bin, ≥ 1: dark lanes are noisier. */
  readonly excess: Float64Array;
  /** Bins that say one thing together. */
  readonly correlatedBins: number;
}

/** Without bare paper to look at, pattern slower than a few bins is unseen: taken as this much more than the fine noise. */
const UNSEEN_CLOUDS = 2;
const LONGEST_LAG_MM = 3;
const LEAST_CORRELATION_MM = 0.6;
const LEAST_SIGMA = 3e-4;

/** @param density Planar: three channels of `bins`, above the paper line. @returns standard deviations in density */
export function profileNoise(profile: StripProfile, line: PaperLine, density: Float64Array): ProfileNoise {
  const { bins, binMm } = profile;
  const grey = Float64Array.from(
    { length: bins },
    (_, i) => (density[i] + density[bins + i] + density[2 * bins + i]) / 3,
  );
  const fine = fineNoise(grey, Math.round(8 / binMm));
  const quiet = Math.max(LEAST_SIGMA / 3, valueAbove(fine, 0.25));
  const excess = fine.map((v) => Math.max(1, Math.min(6, v / (1.5 * quiet))));
  const lags = Math.max(1, Math.round(LONGEST_LAG_MM / binMm));
  const rest = line.rest ?? fineRest(density, bins, excess);
  const own = lagCovariance(rest, bins, 0);
  const longRun = own.slice();
  for (let lag = 1; lag <= lags; lag++) {
    const lagged = lagCovariance(rest, bins, lag);
    // Bartlett's weights keep the sum a covariance (Newey & West 1987, Econometrica 55, 703–708).
    const weight = 1 - lag / (lags + 1);
    for (let i = 0; i < 3; i++)
      for (let k = 0; k < 3; k++) longRun[3 * i + k] += weight * (lagged[3 * i + k] + lagged[3 * k + i]);
  }
  // One strip's estimate is itself chance, and smoothing the paper took its slowest part away: no paper is smoother than this.
  const least = Math.max(1, LEAST_CORRELATION_MM / binMm);
  for (let k = 0; k < 9; k += 4) longRun[k] = Math.max(longRun[k], own[k] * least);
  const correlatedBins = Math.max(
    1,
    (longRun[0] + longRun[4] + longRun[8]) / Math.max(1e-12, own[0] + own[4] + own[8]),
  );
  const factor = line.rest === null ? UNSEEN_CLOUDS ** 2 : profile.sideMm2 / profile.laneMm2;
  const covariance = longRun.map((v) => v * factor);
  for (let c = 0; c < 3; c++) covariance[4 * c] += LEAST_SIGMA ** 2;
  return { covariance, excess, correlatedBins };
}

/**
 * Matrices that turn a bin's three densities into three numbers of unit variance, planar by bin (9 each, row-major).
 * To chance are added: what marks may have left, and what the fit's shapes cannot follow. Real bands differ from them by a
 * few hundredths of their own density (`shapeError`, along the local colour) and change colour a little with strength (`colourError`).
 */
export function whitening(
  noise: ProfileNoise,
  density: Float64Array,
  markErrors: Float64Array,
  errors: { shapeError: number; colourError: number },
): Float64Array {
  const bins = noise.excess.length;
  const out = new Float64Array(9 * bins);
  for (let i = 0; i < bins; i++) {
    const own = [0, 1, 2].map((c) => Math.max(0, density[c * bins + i]));
    const mark = [0, 1, 2].map((c) => markErrors[c * bins + i]);
    const entry = (a: number, b: number): number => {
      const chance = noise.covariance[3 * a + b] * noise.excess[i] ** 2 + mark[a] * mark[b];
      return chance + errors.shapeError ** 2 * own[a] * own[b] + (a === b ? errors.colourError ** 2 * own[a] ** 2 : 0);
    };
    // S = L·Lᵀ, whitening is L⁻¹.
    const l00 = Math.sqrt(entry(0, 0));
    const l10 = entry(1, 0) / l00;
    const l20 = entry(2, 0) / l00;
    const l11 = Math.sqrt(Math.max(1e-12, entry(1, 1) - l10 * l10));
    const l21 = (entry(2, 1) - l20 * l10) / l11;
    const l22 = Math.sqrt(Math.max(1e-12, entry(2, 2) - l20 * l20 - l21 * l21));
    out[9 * i] = 1 / l00;
    out[9 * i + 3] = -l10 / (l00 * l11);
    out[9 * i + 4] = 1 / l11;
    out[9 * i + 6] = (l10 * l21 - l20 * l11) / (l00 * l11 * l22);
    out[9 * i + 7] = -l21 / (l11 * l22);
    out[9 * i + 8] = 1 / l22;
  }
  return out;
}

/** What a smooth curve cannot follow, where the lane is quiet; planar. */
function fineRest(density: Float64Array, bins: number, excess: Float64Array): Float64Array {
  const rest = new Float64Array(3 * bins);
  if (bins < 9) return rest;
  for (let c = 0; c < 3; c++) {
    const own = density.subarray(c * bins, (c + 1) * bins);
    const smooth = sgg(own, 1, { windowSize: 7, derivative: 0, polynomial: 3 });
    for (let i = 0; i < bins; i++) rest[c * bins + i] = excess[i] === 1 ? 1.22 * (own[i] - smooth[i]) : 0;
  }
  return rest;
}

/** Local level of what a smooth curve cannot follow: the median of absolute misses in a window. */
function fineNoise(values: Float64Array, window: number): Float64Array {
  if (values.length < 9) return new Float64Array(values.length).fill(LEAST_SIGMA);
  const smooth = sgg(values, 1, { windowSize: 7, derivative: 0, polynomial: 3 });
  const misses = values.map((v, i) => Math.abs(v - smooth[i]));
  const half = Math.max(4, window >> 1);
  // A 7-point cubic keeps 2/3 of the variance of white noise in its misses: 1.4826 / √(2/3).
  return values.map((_, i) => 1.816 * valueAbove(misses.slice(Math.max(0, i - half), i + half + 1), 0.5));
}

/** Mean of r(i)·r(i − lag)ᵀ; stray bins (beyond five robust deviations) are left out. */
function lagCovariance(rest: Float64Array, bins: number, lag: number): Float64Array {
  const grey = Float64Array.from({ length: bins }, (_, i) => Math.abs(rest[i] + rest[bins + i] + rest[2 * bins + i]));
  const stray = 5 * 1.4826 * valueAbove(grey, 0.5);
  const sum = new Float64Array(9);
  let count = 0;
  for (let i = lag; i < bins; i++) {
    if (grey[i] > stray || grey[i - lag] > stray) continue;
    count++;
    for (let a = 0; a < 3; a++)
      for (let b = 0; b < 3; b++) sum[3 * a + b] += rest[a * bins + i] * rest[b * bins + i - lag];
  }
  return sum.map((v) => v / Math.max(1, count));
}
