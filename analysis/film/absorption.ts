/** The ink's own absorption curve, and the doses that go with it. */
import { cholesky } from '../calibrate/cholesky.ts';
import { dot } from '../dot.ts';
import { normal, seededRandom } from '../seededRandom.ts';
import { sharesOf, widening } from './filmColour.ts';
import type { FilmFit } from './fitFilm.ts';
import { GRID, WAVELENGTHS_NM } from './grid.ts';
import { doseOf } from './model.ts';
import { inkState, DOSE_LOG_SD } from './unknowns.ts';

export interface Absorption {
  readonly nm: readonly number[];
  /** k(λ), 1 at its maximum. */
  readonly k: readonly number[];
  /** Standard uncertainty of its form: a common factor is left out, since no scan tells it from dose. */
  readonly u: readonly number[];
  /** Where k is strongest. */
  readonly peak: { readonly nm: number; readonly u: number };
}

/** Draws from the fit's covariance, for the peak's place: of two bands about as strong, either may win. */
const DRAWS = 200;
const SEED = 20264;

/** k(λ) on the grid (grid.ts), 1 at its maximum, the mean over the kinds of ink that the signals bear, with its standard uncertainty. */
export function absorptionOf(fit: FilmFit): Absorption {
  const { k: own } = fit.state.ink;
  const top = Math.max(...own);
  const { shapes, peaks: drawn } = drawnCurves(fit);
  const wider = widening(fit);
  // Kinds that the signals would bear as well: their mean is told, and how far they lie from it is one more doubt.
  const shares = sharesOf(fit);
  const curves = [own, ...fit.others.map(({ state }) => state.ink.k)].map((k) => {
    const strongest = Math.max(...k);
    return k.map((v) => v / strongest);
  });
  const blend = own.map((_, l) => curves.reduce((sum, k, n) => sum + shares[n] * k[l], 0));
  const strongest = Math.max(...blend);
  const mean = blend.map((v) => v / strongest);
  const nm = peakNm(mean);
  const peaks = [
    ...drawn.map((peak) => ({ nm: nm + wider * (peak - peakNm(own)), share: shares[0] / drawn.length })),
    ...curves.map((k, n) => ({ nm: peakNm(k), share: n === 0 ? 0 : shares[n] })),
  ];
  const between = (of: (k: Float64Array) => number): number =>
    Math.sqrt(curves.reduce((sum, k, n) => sum + shares[n] * of(k) ** 2, 0));
  return {
    nm: WAVELENGTHS_NM,
    k: [...mean],
    u: WAVELENGTHS_NM.map((_, l) =>
      Math.hypot(
        (wider * rootMeanSquare(shapes.map((shape) => shape[l] - own[l]))) / top,
        between((k) => k[l] - mean[l]),
      ),
    ),
    peak: {
      nm,
      u: Math.hypot(usualDistance(peaks, nm), GRID.stepNm / Math.sqrt(12)),
    },
  };
}

export interface FittedDose {
  /** Absorption × thickness at the wavelength of strongest absorption (K of the layer, analysis/film/layer.ts). */
  readonly dose: number;
  /** Standard uncertainty, relative, of its ratio to the other doses of the fit. */
  readonly uShare: number;
}

/** One a region of the fit's input, in its order. */
export function fittedDoses(fit: FilmFit): FittedDose[] {
  const { state, regions } = fit;
  const covariance = covarianceOf(fit);
  const wider = widening(fit);
  const top = Math.max(...state.ink.k);
  const size = state.at.count;
  const own = regions.flatMap(({ dose }) => (dose === null ? [] : [dose]));
  const at = (dose: number): number => state.at.doses + dose;
  return own.map((dose) => {
    // Against the mean of the logarithms: the common factor is not a ratio's.
    const weights = new Float64Array(size);
    for (const other of own) weights[at(other)] -= 1 / own.length;
    weights[at(dose)] += 1;
    let variance = 0;
    for (let a = 0; a < size; a++) {
      if (weights[a] === 0) continue;
      for (let b = 0; b < size; b++) variance += weights[a] * weights[b] * covariance[a * size + b];
    }
    return { dose: doseOf(state, dose) * top, uShare: wider * DOSE_LOG_SD * Math.sqrt(Math.max(0, variance)) };
  });
}

/** Inverse of the curvature, full and symmetric. */
function covarianceOf({ factor, state }: FilmFit): Float64Array {
  const size = state.at.count;
  // H = L Lᵀ; the inverse of L by columns, then L⁻ᵀ L⁻¹.
  const inverse = new Float64Array(size * size);
  for (let c = 0; c < size; c++) {
    for (let r = c; r < size; r++) {
      let sum = r === c ? 1 : 0;
      for (let m = c; m < r; m++) sum -= factor[r * size + m] * inverse[m * size + c];
      inverse[r * size + c] = sum / factor[r * size + r];
    }
  }
  const out = new Float64Array(size * size);
  for (let a = 0; a < size; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (let m = a; m < size; m++) sum += inverse[m * size + a] * inverse[m * size + b];
      out[a * size + b] = sum;
      out[b * size + a] = sum;
    }
  }
  return out;
}

/** Curves from the fit's covariance, each at the strength that comes nearest to the fitted one, and their peaks. */
function drawnCurves(fit: FilmFit): { shapes: Float64Array[]; peaks: number[] } {
  const { state } = fit;
  const { at, prior, ink } = state;
  const covariance = covarianceOf(fit);
  const size = at.count;
  const modes = prior.modes.length;
  const own = new Float64Array(modes * modes);
  for (let a = 0; a < modes; a++) {
    for (let b = 0; b < modes; b++) own[a * modes + b] = covariance[(at.ink + a) * size + at.ink + b];
  }
  const root = cholesky(own, modes);
  const random = seededRandom(SEED);
  const shapes: Float64Array[] = [];
  const peaks: number[] = [];
  for (let n = 0; n < DRAWS; n++) {
    const unit = Float64Array.from({ length: modes }, () => normal(random));
    const z = Float64Array.from(state.z);
    for (let a = 0; a < modes; a++) for (let b = 0; b <= a; b++) z[at.ink + a] += root[a * modes + b] * unit[b];
    const { k } = inkState(z, at, prior);
    const strength = dot(k, ink.k) / dot(k, k);
    shapes.push(k.map((v) => v * strength));
    peaks.push(peakNm(k));
  }
  return { shapes, peaks };
}

/** By a parabola through the strongest wavelength and its neighbours. */
export function peakNm(k: ArrayLike<number>): number {
  let most = 0;
  for (let l = 1; l < k.length; l++) if (k[l] > k[most]) most = l;
  if (most === 0 || most === k.length - 1) return WAVELENGTHS_NM[most];
  const bow = k[most - 1] - 2 * k[most] + k[most + 1];
  return WAVELENGTHS_NM[most] + (bow < 0 ? (GRID.stepNm * (k[most - 1] - k[most + 1])) / (2 * bow) : 0);
}

/** What 68 % of belief stays within: single draws that jump to a far band do not rule. */
function usualDistance(peaks: readonly { readonly nm: number; readonly share: number }[], nm: number): number {
  let left = 0.68;
  const away = peaks.map((peak) => ({ far: Math.abs(peak.nm - nm), share: peak.share })).sort((a, b) => a.far - b.far);
  return away.find(({ share }) => (left -= share) <= 0)?.far ?? away[away.length - 1].far;
}

function rootMeanSquare(values: readonly number[]): number {
  return Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);
}
