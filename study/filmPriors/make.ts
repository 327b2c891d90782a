/** Makes the prior tables of analysis/film/priors: what sensors, inks and papers may be, before anything is measured. */
import { seededRandom } from '../../analysis/seededRandom.ts';
import { modesOf, smoothModes } from '../../analysis/film/smoothModes.ts';
import { drawGround, GROUND_CLASSES } from './drawGrounds.ts';
import { drawInks } from './drawInks.ts';
import { drawSensors, LAMP_CLASSES } from './drawSensors.ts';

const SEED = 20261;
const SENSOR_DRAWS = 2500;
/** Of 108, those that matter: the rest is below the noise of any target. */
const SENSOR_MODES = 44;
const GROUND_DRAWS = 600;
const GROUND_MODES = 6;
const INK_DRAWS = 4000;
const INK_MODES = 14;
const INK_STARTS = 1500;
/** Added before the logarithm: what is fainter than this is as good as nothing. */
export const INK_FLOOR = 0.02;

export interface CurvePrior {
  readonly mean: Float64Array;
  readonly modes: readonly Float64Array[];
}

export function sensorPriors(draws = SENSOR_DRAWS): (CurvePrior & { readonly name: string })[] {
  return LAMP_CLASSES.map((lamp, i) => {
    const random = seededRandom(SEED + i);
    return {
      name: lamp,
      ...modesOf(
        Array.from({ length: draws }, () => drawSensors(lamp, random)),
        SENSOR_MODES,
      ),
    };
  });
}

export function groundPriors(): (CurvePrior & { readonly name: string })[] {
  const ripple = smoothModes(40, 8);
  return GROUND_CLASSES.map((kind, i) => {
    const random = seededRandom(SEED + 100 + i);
    const curves = Array.from({ length: GROUND_DRAWS }, () => drawGround(kind, ripple, random));
    return { name: kind, ...modesOf(curves, GROUND_MODES) };
  });
}

/** @param dyes measured absorption curves on the grid */
export function inkPrior(
  dyes: readonly (readonly number[])[],
  draws = INK_DRAWS,
): CurvePrior & { readonly starts: Float64Array[] } {
  const inks = drawInks(draws, dyes, seededRandom(SEED + 200));
  const logs = inks.map((k) => k.map((v) => Math.log(v + INK_FLOOR)));
  return { ...modesOf(logs, INK_MODES), starts: inks.slice(0, INK_STARTS) };
}
