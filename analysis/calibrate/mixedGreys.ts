/**
 * Whether a target's greys are mixed from coloured dyes: then they look grey and are not flat, and a scanner, which is not the eye,
 * sees each a little coloured. Tone curves drawn channel by channel through such greys take this for the device's doing.
 */
import { Matrix, solve } from 'ml-matrix';
import { D50, type Xyz } from '../colour/lab.ts';
import { mean } from '../scatter.ts';

/** Departure from a device's law, relative, from which it matters; and beyond which the channels' curves simply differ. */
const LEAST_DEPARTURE = 0.0018;
const MOST_DIFFERENCE = 0.6;
/** Fewer steps leave nothing to judge by. */
const FEWEST_GREYS = 8;

/**
 * Channels of one device differ by gain, exponent, stray light and black, hence by constant, log Y and Y^(−½) in the
 * logarithm of their ratio (after the greys' own known tint). What else varies smoothly from step to step, clearly above
 * the scatter, is the dyes'. In simulations (docs/study/calibration.md) three-dye greys show 0.1–2.7 %, flat greys none.
 * @param exponent of the tone curves, about the same in all channels
 */
export function areMixedGreys(
  devices: readonly (readonly [number, number, number])[],
  xyz: readonly Xyz[],
  exponent: number,
): boolean {
  const used = devices.map((_, i) => i).filter((i) => Math.min(...devices[i]) > 0 && Math.min(...xyz[i]) > 0);
  const n = used.length;
  if (n < FEWEST_GREYS) return false;
  const Y = used.map((i) => xyz[i][1]);
  const logs = Y.map(Math.log);
  const low = Math.min(...logs);
  const high = Math.max(...logs);
  if (high - low < 1) return false;
  // Errors count as the eye sees them: a hundredth of a dark grey's light is less than one of a light grey's.
  const weights = Y.map(Math.cbrt);
  const law = logs.map((log, k) => [1, log, 1 / Math.sqrt(Y[k])]);
  const rich = law.map((terms, k) => {
    const t = (2 * (logs[k] - low)) / (high - low) - 1;
    return [...terms, t * t, t * t * t, t ** 4];
  });
  let lawRest = 0;
  let richRest = 0;
  let difference = 0;
  for (const c of [0, 2] as const) {
    const ratios = used.map((i) => {
      const tint = xyz[i][c] / D50[c] / xyz[i][1];
      return exponent * Math.log(devices[i][c] / devices[i][1]) - Math.log(tint);
    });
    lawRest += restSquares(law, ratios, weights);
    richRest += restSquares(rich, ratios, weights);
    difference = Math.max(difference, Math.max(...ratios) - Math.min(...ratios));
  }
  if (difference > MOST_DIFFERENCE) return false;
  const freedom = 2 * (n - 6);
  const smooth = Math.max(0, lawRest - richRest) / 6;
  const scatter = richRest / freedom;
  // 99.9th percentile of F(6, freedom), near enough from 4 degrees of freedom to 40.
  const limit = 4 + 30 / freedom + 600 / (freedom * freedom);
  return Math.sqrt(lawRest / (2 * n - 6)) > LEAST_DEPARTURE && smooth > limit * scatter;
}

/** Band of wavelengths where scanner and eye see most; beyond it even carbon blacks bend. */
const BAND_NM = [430, 680] as const;
/** Spread over the band, relative to the lightest grey's spectrum, up to which a grey is flat: the 24-patch chart's (Ohta 1997) and
 * carbon blacks have 0.01–0.03, three dyes in simulations 0.04–1. */
const FLAT = 0.035;

/** The same question where the greys' reflectances are known: by the median grey darker than half of the lightest. */
export function areFlatSpectra(
  greys: readonly { readonly firstNm: number; readonly stepNm: number; readonly values: readonly number[] }[],
): boolean {
  const bands = greys.map(({ firstNm, stepNm, values }) =>
    values.filter((_, k) => firstNm + k * stepNm >= BAND_NM[0] && firstNm + k * stepNm <= BAND_NM[1]),
  );
  const white = bands.reduce((best, band) => (mean(band) > mean(best) ? band : best));
  const spreads = bands
    .filter((band) => band.length === white.length && mean(band) < 0.5 * mean(white))
    .map((band) => {
      const ratios = band.map((value, k) => value / white[k]);
      const middle = mean(ratios);
      return Math.sqrt(mean(ratios.map((ratio) => (ratio / middle - 1) ** 2)));
    })
    .sort((a, b) => a - b);
  return spreads.length === 0 || spreads[spreads.length >> 1] < FLAT;
}

/** Sum of the weighted squares that least squares leaves. */
function restSquares(
  rows: readonly (readonly number[])[],
  values: readonly number[],
  weights: readonly number[],
): number {
  const A = new Matrix(rows.map((row, k) => row.map((term) => term * weights[k])));
  const b = Matrix.columnVector(values.map((value, k) => value * weights[k]));
  const solution = solve(A, b).to1DArray();
  return values.reduce((sum, value, k) => {
    const fitted = rows[k].reduce((total, term, j) => total + term * solution[j], 0);
    return sum + ((value - fitted) * weights[k]) ** 2;
  }, 0);
}
