/** What the film fit solves for, as unit normals in one vector (independent but for doses), and what they stand for. */
import { GRID } from './grid.ts';
import { GROUND_MODE_COUNT, type GroundPrior } from './groundPrior.ts';
import { INK_FLOOR, type InkKind, type InkStart } from './inkPrior.ts';

const COUNT = GRID.count;

/** Of one dose about the ink's usual one, and of that about 1: as much again (standard deviations of a logarithm; choices, no source). */
export const DOSE_LOG_SD = 1.2;

/**
 * What an ink's doses have in common, before they are seen: all samples of a wet pen, or of a strong ink, are dense together. As so many independent
 * ones they would hold the ink near dose 1 by their number, and k(λ) would make up for it out of its own form.
 * @returns what is taken off every entry, diagonal too, of the unit precision of so many doses: (I + 11ᵀ)⁻¹ = I − 11ᵀ/(1 + count)
 * (Sherman & Morrison 1950, Ann. Math. Stat. 21, 124–127)
 */
export function inCommon(doses: number): number {
  return 1 / (1 + doses);
}

/** Where each kind of unknown begins in the vector. */
export interface Places {
  readonly ink: number;
  readonly doses: number;
  readonly grounds: number;
  readonly sensors: number;
  readonly count: number;
}

/** @returns offsets into the vector of unknowns, in the order ink, doses, grounds, sensors; `count` is its length */
export function placesOf(inkModes: number, doses: number, papers: number, sensorModes: number): Places {
  const grounds = inkModes + doses;
  const sensors = grounds + papers * GROUND_MODE_COUNT;
  return { ink: 0, doses: inkModes, grounds, sensors, count: sensors + sensorModes };
}

export interface InkState {
  /** Absorption per unit dose. */
  readonly k: Float64Array;
  /** k + 0.02: the slope of k by its logarithm, 0 where k is held at 0. */
  readonly kSlope: Float64Array;
  /** Scatter per unit dose. */
  readonly S: Float64Array;
}

/** Curves on the grid from the kind's mean and the modes' weights. */
export function inkState(z: Float64Array, at: Places, { mean, scatterMean, modes }: InkKind): InkState {
  const k = Float64Array.from(mean);
  const kSlope = new Float64Array(COUNT);
  const S = Float64Array.from(scatterMean);
  modes.forEach((mode, j) => {
    const weight = z[at.ink + j];
    if (mode.k) for (let l = 0; l < COUNT; l++) k[l] += weight * mode.k[l];
    if (mode.scatter) for (let l = 0; l < COUNT; l++) S[l] += weight * mode.scatter[l];
  });
  for (let l = 0; l < COUNT; l++) {
    const raised = Math.exp(Math.min(k[l], 3));
    k[l] = Math.max(0, raised - INK_FLOOR);
    kSlope[l] = k[l] > 0 ? raised : 0;
    S[l] = Math.exp(Math.min(S[l], 3));
  }
  return { k, kSlope, S };
}

/** Reflectance of a paper on the grid, 0..1. */
export function groundOf(z: Float64Array, at: Places, paper: number, { log, modes }: GroundPrior): Float64Array {
  const from = at.grounds + paper * GROUND_MODE_COUNT;
  const ground = Float64Array.from(log);
  for (let j = 0; j < modes.length; j++) for (let l = 0; l < COUNT; l++) ground[l] += z[from + j] * modes[j][l];
  for (let l = 0; l < COUNT; l++) ground[l] = Math.exp(ground[l]);
  return ground;
}

/** The unknowns of a start: its curves brought into the prior's modes, least squares. */
export function inkUnknowns({ k, scatter }: InkStart, { mean, scatterMean, modes }: InkKind): Float64Array {
  const logK = k.map((v, l) => Math.log(v + INK_FLOOR) - mean[l]);
  const logScatter = scatter.map((v, l) => Math.log(v + 1e-4) - scatterMean[l]);
  // The modes are orthogonal; their squared length is the variance along them.
  return Float64Array.from(modes, (mode) => {
    let along = 0;
    let size = 0;
    for (let l = 0; l < COUNT; l++) {
      const byK = mode.k?.[l] ?? 0;
      const byScatter = mode.scatter?.[l] ?? 0;
      along += byK * logK[l] + byScatter * logScatter[l];
      size += byK * byK + byScatter * byScatter;
    }
    return along / size;
  });
}
