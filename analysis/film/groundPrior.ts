/** What a fit may still move of a paper after its bare signals were seen: the ink's own doses tell more of it. */
import { Matrix } from 'ml-matrix';
import { GRID } from './grid.ts';
import { groundEstimate } from './ground.ts';
import type { Sensors } from './sensors.ts';
import { principalModes, smoothModes } from './smoothModes.ts';

/** Logarithm of a paper's reflectance: independent unit normals times the modes are what is open. */
export interface GroundPrior {
  readonly log: Float64Array;
  readonly modes: readonly Float64Array[];
}

export const GROUND_MODE_COUNT = 6;
/** What no kind of paper foresees: 0.5 %, wandering over 50 nm. A choice, no source. */
const RIPPLE = smoothModes(50, 6).map((mode) => mode.map((v) => 0.005 * v));

/** @param signal of the bare paper, straightened (bend.ts) */
export function groundPrior(signal: readonly [number, number, number], sensors: Sensors): GroundPrior {
  const { log, doubts } = groundEstimate(signal, sensors);
  const covariance = Matrix.zeros(GRID.count, GRID.count);
  for (let a = 0; a < GRID.count; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (const way of doubts) sum += way[a] * way[b];
      for (const way of RIPPLE) sum += way[a] * way[b];
      covariance.set(a, b, sum);
      covariance.set(b, a, sum);
    }
  }
  return { log, modes: principalModes(covariance, GROUND_MODE_COUNT) };
}
