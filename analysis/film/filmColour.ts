/** Colours of a fitted film with what the fit leaves in doubt. */
import { xyzToLab, type LabD50, type Xyz } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';
import { solveCholesky } from '../calibrate/cholesky.ts';
import type { FilmFit } from './fitFilm.ts';
import { GRID, XYZ_WEIGHTS } from './grid.ts';
import { type ModelRegion, respond } from './model.ts';
import { longSideNm, NARROW_NM } from './narrow.ts';

/**
 * What the model itself leaves: inks whose curve the prior has never seen. It weighs more where several sheets, or a target known by Lab
 * alone, have narrowed what the covariance holds. So chosen that ± 2u holds the truth in about 95 %: seeds 400–408 and 500–508 of study/film.ts.
 */
const WIDER = { spectra: { oneSheet: 0.9, more: 1.2 }, lab: { oneSheet: 1.2, more: 1.5 } } as const;
const WIDER_FOR_DIFFERENCES = 1.2;
const LEAST = 0.15;
/** Inks with a steep long-wave flank: xanthenes, acridines, azines. Common practice of this program's own study, no source. */
const WIDER_IF_NARROW = 2;

/** Factor on what the fit's covariance says. */
export function widening(fit: FilmFit): number {
  const sheets = fit.regions.filter(({ dose }) => dose === null).length;
  const wider = WIDER[fit.sensors.taughtBy][sheets === 1 ? 'oneSheet' : 'more'];
  return wider * (longSideNm(fit.state.ink.k) < NARROW_NM ? WIDER_IF_NARROW : 1);
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
  /** ∂Lab/∂unknown, 3 × unknowns, for differences. */
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
  const lab = xyzToLab(xyz);
  const slopes = labSlopesOf(xyz, rows, size);
  return { lab, u: doubtOf(fit, slopes, [0, 0, 0]), slopes };
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
  const size = fit.state.at.count;
  const wider = widening(fit);
  const u = (a: 0 | 1 | 2): number =>
    wider * Math.max(LEAST, Math.sqrt(spread(fit, slopes.subarray(a * size, (a + 1) * size)) + own[a]));
  return [u(0), u(1), u(2)];
}

/**
 * Standard uncertainty of a figure made from two colours of one fit.
 * @param along slopes of the figure by L*, a*, b* of the first, then of the second colour
 */
export function differenceDoubt(fit: FilmFit, a: FilmColour, b: FilmColour, along: readonly number[]): number {
  const size = fit.state.at.count;
  const row = new Float64Array(size);
  for (let k = 0; k < 3; k++) {
    for (let j = 0; j < size; j++) row[j] += along[k] * a.slopes[k * size + j] + along[3 + k] * b.slopes[k * size + j];
  }
  return widening(fit) * WIDER_FOR_DIFFERENCES * Math.max(LEAST, Math.sqrt(spread(fit, row)));
}

/** Variance of a figure with these slopes by the fit's unknowns. */
export function spread(fit: FilmFit, row: Float64Array): number {
  const solved = solveCholesky(fit.factor, row.length, Float64Array.from(row));
  let sum = 0;
  for (let j = 0; j < row.length; j++) sum += row[j] * solved[j];
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
