/** Colours of a fitted film with what the fit leaves in doubt. */
import { labD50, xyzToLab, type LabD50, type Xyz } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';
import { solveCholesky } from '../calibrate/cholesky.ts';
import type { Alternative, FilmFit } from './fitFilm.ts';
import { GRID, XYZ_WEIGHTS } from './grid.ts';
import { type ModelRegion, respond } from './model.ts';
import { longSideNm, NARROW_NM } from './narrow.ts';

/**
 * What the model itself leaves: inks whose curve the prior has never seen. It weighs more where several sheets, or a target known by Lab
 * alone, have narrowed what the covariance holds. So chosen that ± 2u holds the truth in about 95 %: seeds 100–139 of study/film.ts,
 * with spectra and several sheets seeds 500–730 (0.97 of L*, a*, b* with 1.1).
 */
const WIDER = { spectra: { oneSheet: 0.9, more: 0.95 }, lab: { oneSheet: 1.3, more: 1.5 } } as const;
/**
 * What a tone curve and the model leave is the same for all doses and does not average out: from as many doses a sheet on, the covariance may not shrink with
 * their number. Of graded swabs of fourteen doses 0.88 lay within ± 2u without this on three sheets, 0.84 on one, 0.94 and 0.93 with it (seeds 100–159).
 */
const USUAL_DOSES = 7;
const MOST_FOR_DOSES = Math.SQRT2;
/**
 * Of a difference: on one sheet 0.96 lay within ± 2u with 1.2 (seeds 500–730); on several, 0.98 of those along a sheet and 0.99 of those between sheets did,
 * with 1 they are 0.96 and 0.98 (seeds 100–130 of graded swabs, 300–330 of seven doses), 0.98 and 0.98 on seeds 640–659, looked at once.
 */
const WIDER_FOR_DIFFERENCES = { oneSheet: 1.2, more: 1 } as const;
const LEAST = 0.15;
/** Inks with a steep long-wave flank: xanthenes, acridines, azines. Common practice of this program's own study, no source. */
const WIDER_IF_NARROW = 2;

/** Factor on what the fit's covariance says of the ink itself: curves, layers, bars. */
export function widening(fit: FilmFit): number {
  const wider = WIDER[fit.sensors.taughtBy][seriesOf(fit)];
  return wider * (longSideNm(fit.state.ink.k) < NARROW_NM ? WIDER_IF_NARROW : 1);
}

/** The same for its colours, of which many doses on a sheet make the covariance too sure. */
export function wideningOfColours(fit: FilmFit): number {
  const sheets = sheetsOf(fit);
  const each = (fit.regions.length - sheets) / sheets;
  return widening(fit) * Math.min(MOST_FOR_DOSES, Math.max(1, Math.sqrt(each / USUAL_DOSES)));
}

function seriesOf(fit: FilmFit): 'oneSheet' | 'more' {
  return sheetsOf(fit) === 1 ? 'oneSheet' : 'more';
}

function sheetsOf({ regions }: FilmFit): number {
  return regions.filter(({ dose }) => dose === null).length;
}

/** Weights of XYZ as if they were three sensors. */
export const XYZ_STACKED = Float64Array.from(
  { length: 3 * GRID.count },
  (_, i) => XYZ_WEIGHTS[Math.floor(i / GRID.count)][i % GRID.count],
);

export interface FilmColour {
  readonly lab: LabD50;
  /** Standard uncertainty per component. */
  readonly u: LabValue;
  /** ∂Lab/∂unknown, 3 × (unknowns and, where several kinds of ink are believed, one unit normal a kind for what lies between them), for differences. */
  readonly slopes: Float64Array;
}

/** @param index of `fit.regions`: bare papers first */
export function filmColour(fit: FilmFit, index: number): FilmColour {
  return colourOf(fit, fit.regions[index]);
}

function colourOf(fit: FilmFit, region: ModelRegion): FilmColour {
  const size = fit.state.at.count;
  const rows = new Float64Array(3 * size);
  const xyz: Xyz = respond(fit.state, region, XYZ_STACKED, [], rows);
  const slopes = labSlopesOf(xyz, rows, size);
  return believed(fit, xyzToLab(xyz), slopes, [0, 0, 0], ({ state }) => {
    const other = new Float64Array(3 * size);
    return xyzToLab(respond(state, region, XYZ_STACKED, [], other));
  });
}

/** Of belief: the fit's own state first, then its others. */
export function sharesOf({ others }: FilmFit): number[] {
  return [1 - others.reduce((sum, { share }) => sum + share, 0), ...others.map(({ share }) => share)];
}

/** The mean over all kinds of ink that the signals would bear; what lies between them is one more doubt each. */
export function believed(
  fit: FilmFit,
  first: LabD50,
  slopes: Float64Array,
  own: LabValue,
  labOf: (other: Alternative) => LabD50,
): FilmColour {
  const { others } = fit;
  const shares = sharesOf(fit);
  const labs = [first, ...others.map(labOf)];
  const mean = (a: 0 | 1 | 2): number => labs.reduce((sum, lab, n) => sum + shares[n] * lab[a], 0);
  const lab = labD50(mean(0), mean(1), mean(2));
  if (others.length === 0) return { lab, u: doubtOf(fit, slopes, own), slopes };
  const size = fit.state.at.count;
  const wide = size + labs.length;
  const all = new Float64Array(3 * wide);
  for (let a = 0; a < 3; a++) {
    all.set(slopes.subarray(a * size, (a + 1) * size), a * wide);
    labs.forEach((one, n) => (all[a * wide + size + n] = Math.sqrt(shares[n]) * (one[a] - lab[a])));
  }
  return { lab, u: doubtOf(fit, all, own), slopes: all };
}

/** @param rows slopes of XYZ, 3 × size @returns slopes of Lab, 3 × size */
export function labSlopesOf(xyz: Xyz, rows: Float64Array, size: number): Float64Array {
  const turn = labSlopes(xyz);
  const slopes = new Float64Array(3 * size);
  for (let a = 0; a < 3; a++) {
    for (let k = 0; k < 3; k++) {
      if (turn[3 * a + k] === 0) continue;
      for (let j = 0; j < size; j++) slopes[a * size + j] += turn[3 * a + k] * rows[k * size + j];
    }
  }
  return slopes;
}

/** @param own variance per component that the fit's unknowns do not hold */
export function doubtOf(fit: FilmFit, slopes: Float64Array, own: LabValue): LabValue {
  const size = slopes.length / 3;
  const wider = wideningOfColours(fit);
  const u = (a: 0 | 1 | 2): number =>
    wider * Math.max(LEAST, Math.sqrt(spread(fit, slopes.subarray(a * size, (a + 1) * size)) + own[a]));
  return [u(0), u(1), u(2)];
}

/**
 * Standard uncertainty of a figure made from two colours of one fit.
 * @param along slopes of the figure by L*, a*, b* of the first, then of the second colour
 */
export function differenceDoubt(fit: FilmFit, a: FilmColour, b: FilmColour, along: readonly number[]): number {
  const size = a.slopes.length / 3;
  const row = new Float64Array(size);
  for (let k = 0; k < 3; k++) {
    for (let j = 0; j < size; j++) row[j] += along[k] * a.slopes[k * size + j] + along[3 + k] * b.slopes[k * size + j];
  }
  return wideningOfColours(fit) * WIDER_FOR_DIFFERENCES[seriesOf(fit)] * Math.max(LEAST, Math.sqrt(spread(fit, row)));
}

/** Variance of a figure with these slopes by the fit's unknowns. */
export function spread(fit: FilmFit, row: Float64Array): number {
  const size = fit.state.at.count;
  const solved = solveCholesky(fit.factor, size, row.subarray(0, size));
  let sum = 0;
  for (let j = 0; j < size; j++) sum += row[j] * solved[j];
  for (let j = size; j < row.length; j++) sum += row[j] * row[j];
  return Math.max(0, sum);
}

/** ∂(L*, a*, b*)/∂(X, Y, Z), 3 × 3, by central differences. */
function labSlopes(xyz: Xyz): number[] {
  const out = Array.from({ length: 9 }, () => 0);
  for (let k = 0; k < 3; k++) {
    const h = 1e-5 + 1e-4 * xyz[k];
    const step = (by: number): LabD50 =>
      xyzToLab([xyz[0] + (k === 0 ? by : 0), xyz[1] + (k === 1 ? by : 0), xyz[2] + (k === 2 ? by : 0)]);
    const up = step(h);
    const down = step(-h);
    for (let a = 0; a < 3; a++) out[3 * a + k] = (up[a] - down[a]) / (2 * h);
  }
  return out;
}
