/** Signals (or XYZ) that the film model gives for a region, with their slopes by every unknown. */
import { GRID } from './grid.ts';
import { GROUND_MODE_COUNT, type GroundPrior } from './groundPrior.ts';
import type { InkKind } from './inkPrior.ts';
import { layerWithSlopes } from './layer.ts';
import { DOSE_LOG_SD, groundOf, type InkState, inkState, type Places } from './unknowns.ts';

const COUNT = GRID.count;

/** A region as the model sees it: which paper it lies on, and which dose of the vector is its own; null: bare paper. */
export interface ModelRegion {
  readonly paper: number;
  readonly dose: number | null;
}

export interface ModelState {
  readonly z: Float64Array;
  readonly at: Places;
  readonly prior: InkKind;
  readonly ink: InkState;
  readonly grounds: readonly Float64Array[];
  readonly estimates: readonly GroundPrior[];
}

/** @param z Unknowns as unit normals; @param at where each lies in it; @param estimates one a paper */
export function modelState(z: Float64Array, at: Places, prior: InkKind, estimates: readonly GroundPrior[]): ModelState {
  return {
    z,
    at,
    prior,
    ink: inkState(z, at, prior),
    estimates,
    grounds: estimates.map((estimate, paper) => groundOf(z, at, paper, estimate)),
  };
}

/** Amount of ink of the n-th dose, 1 being the prior's median. */
export function doseOf({ z, at }: ModelState, dose: number): number {
  return Math.exp(DOSE_LOG_SD * z[at.doses + dose]);
}

/** Of a fit's own regions, in the vector's units: where one state's doses lie against another's. */
export function meanDose({ z, at }: ModelState): number {
  let sum = 0;
  for (let j = at.doses; j < at.grounds; j++) sum += z[j];
  return sum / (at.grounds - at.doses);
}

const slopes = new Float64Array(4);
const byInk = new Float64Array(COUNT);
const byScatter = new Float64Array(COUNT);
const byDose = new Float64Array(COUNT);
const byGround = new Float64Array(COUNT);
/** Slopes by wavelength as one channel weighs them. */
const throughK = new Float64Array(COUNT);
const throughScatter = new Float64Array(COUNT);

/**
 * @param curves three stacked weights over the grid, 108 values: sensors, or those of XYZ
 * @param rows 3 × unknowns, row by row; overwritten
 * @param doubt how the curves may be off, in step with the vector's last part; none for XYZ
 */
export function respond(
  state: ModelState,
  { paper, dose }: ModelRegion,
  curves: Float64Array,
  doubt: readonly Float64Array[],
  rows: Float64Array,
): [number, number, number] {
  const { at, prior, ink, grounds, estimates } = state;
  const ground = grounds[paper];
  const size = at.count;
  rows.fill(0);
  const amount = dose === null ? 0 : doseOf(state, dose);
  const R = new Float64Array(COUNT);
  for (let l = 0; l < COUNT; l++) {
    if (dose === null) {
      R[l] = ground[l];
      byGround[l] = ground[l];
      continue;
    }
    const K = amount * ink.k[l];
    const S = amount * ink.S[l];
    layerWithSlopes(ground[l], K, S, slopes);
    R[l] = slopes[0];
    byInk[l] = slopes[1] * amount * ink.kSlope[l];
    byScatter[l] = slopes[2] * S;
    byDose[l] = slopes[1] * K + slopes[2] * S;
    byGround[l] = slopes[3] * ground[l];
  }
  const values: [number, number, number] = [0, 0, 0];
  for (let c = 0; c < 3; c++) {
    const from = c * COUNT;
    const row = c * size;
    let value = 0;
    for (let l = 0; l < COUNT; l++) value += curves[from + l] * R[l];
    values[c] = value;
    if (dose !== null) {
      let doses = 0;
      for (let l = 0; l < COUNT; l++) {
        throughK[l] = curves[from + l] * byInk[l];
        throughScatter[l] = curves[from + l] * byScatter[l];
        doses += curves[from + l] * byDose[l];
      }
      for (let j = 0; j < prior.modes.length; j++) {
        const { k, scatter } = prior.modes[j];
        rows[row + at.ink + j] = (k ? along(throughK, k) : 0) + (scatter ? along(throughScatter, scatter) : 0);
      }
      rows[row + at.doses + dose] = DOSE_LOG_SD * doses;
    }
    const groundFrom = row + at.grounds + paper * GROUND_MODE_COUNT;
    for (let l = 0; l < COUNT; l++) throughK[l] = curves[from + l] * byGround[l];
    for (let j = 0; j < GROUND_MODE_COUNT; j++) rows[groundFrom + j] = along(throughK, estimates[paper].modes[j]);
    for (let j = 0; j < doubt.length; j++) {
      let sum = 0;
      for (let l = 0; l < COUNT; l++) sum += doubt[j][from + l] * R[l];
      rows[row + at.sensors + j] = sum;
      values[c] += state.z[at.sensors + j] * sum;
    }
  }
  return values;
}

function along(through: Float64Array, mode: Float64Array): number {
  let sum = 0;
  for (let l = 0; l < COUNT; l++) sum += through[l] * mode[l];
  return sum;
}
