/** What the film fit solves for, as independent unit normals in one vector, and what they stand for. */
import { GRID } from './grid.ts';
import { GROUND_MODE_COUNT, type GroundPrior } from './groundPrior.ts';
import { INK_FLOOR, type InkKind } from './inkPrior.ts';
import { smoothModes } from './smoothModes.ts';

const COUNT = GRID.count;

/** Scatter per unit dose: log-normal. */
const SCATTER_MEDIAN = 0.025;
const SCATTER_LOG_SD = 0.9;
export const DOSE_LOG_SD = 1.2;
/** How a pigment's scatter may wander over the spectrum, log. */
const SCATTER_MODES = smoothModes(60, 6).map((mode) => mode.map((v) => 0.8 * v));

/** Where each kind of unknown begins in the vector. */
export interface Places {
  readonly ink: number;
  readonly scatter: number;
  /** Equal to `doses` when scatter is flat. */
  readonly scatterModes: number;
  readonly doses: number;
  readonly grounds: number;
  readonly sensors: number;
  readonly count: number;
}

export function placesOf(
  inkModes: number,
  doses: number,
  papers: number,
  sensorModes: number,
  pigmented: boolean,
): Places {
  const scatter = inkModes;
  const scatterModes = scatter + 1;
  const doseStart = scatterModes + (pigmented ? SCATTER_MODES.length : 0);
  const grounds = doseStart + doses;
  const sensors = grounds + papers * GROUND_MODE_COUNT;
  return { ink: 0, scatter, scatterModes, doses: doseStart, grounds, sensors, count: sensors + sensorModes };
}

export interface InkState {
  /** Absorption per unit dose. */
  readonly k: Float64Array;
  /** k + 0.02: the slope of k by its logarithm, 0 where k is held at 0. */
  readonly kSlope: Float64Array;
  /** Scatter per unit dose. */
  readonly S: Float64Array;
}

export function inkState(z: Float64Array, at: Places, prior: InkKind): InkState {
  const k = new Float64Array(COUNT);
  const kSlope = new Float64Array(COUNT);
  const S = new Float64Array(COUNT);
  const level = Math.log(SCATTER_MEDIAN) + SCATTER_LOG_SD * z[at.scatter];
  for (let l = 0; l < COUNT; l++) {
    let log = prior.mean[l];
    for (let j = 0; j < prior.modes.length; j++) log += z[at.ink + j] * prior.modes[j][l];
    const raised = Math.exp(Math.min(log, 3));
    k[l] = Math.max(0, raised - INK_FLOOR);
    kSlope[l] = k[l] > 0 ? raised : 0;
    let logS = level;
    for (let j = at.scatterModes; j < at.doses; j++) logS += z[j] * SCATTER_MODES[j - at.scatterModes][l];
    S[l] = Math.exp(logS);
  }
  return { k, kSlope, S };
}

export const SCATTER_SLOPE = SCATTER_LOG_SD;
export function scatterMode(j: number): Float64Array {
  return SCATTER_MODES[j];
}

export function groundOf(z: Float64Array, at: Places, paper: number, { log, modes }: GroundPrior): Float64Array {
  const from = at.grounds + paper * GROUND_MODE_COUNT;
  return log.map((v, l) => Math.exp(modes.reduce((sum, mode, j) => sum + z[from + j] * mode[l], v)));
}

/** The unknowns of a start: an absorption curve brought into the prior's modes, least squares under the prior. */
export function inkUnknowns(k: Float64Array, prior: InkKind): Float64Array {
  // The modes are orthogonal; their squared length is the variance along them.
  return Float64Array.from(prior.modes, (mode) => {
    let along = 0;
    let size = 0;
    for (let l = 0; l < COUNT; l++) {
      along += mode[l] * (Math.log(k[l] + INK_FLOOR) - prior.mean[l]);
      size += mode[l] * mode[l];
    }
    return along / size;
  });
}
