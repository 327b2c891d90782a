/** Makes the prior tables of analysis/film/priors: what sensors, inks and papers may be, before anything is measured. */
import { seededRandom } from '../../analysis/seededRandom.ts';
import { modesOf, smoothModes } from '../../analysis/film/smoothModes.ts';
import { drawGround, GROUND_CLASSES } from './drawGrounds.ts';
import { type Component, mixtureOf } from './mixture.ts';
import type { InkKind, InkPrior } from '../../analysis/film/inkPrior.ts';
import { drawInks } from './drawInks.ts';
import { drawSensors, LAMP_CLASSES } from './drawSensors.ts';

const SEED = 20261;
const SENSOR_DRAWS = 2500;
/** Of 108, those that matter: the rest is below the noise of any target. */
const SENSOR_MODES = 44;
const GROUND_DRAWS = 700;
const GROUND_MIXTURE = { count: 20, modes: 9, rounds: 12, pull: 10, pullShare: 0.05 } as const;
const INK_DRAWS = 4000;
/** One Gaussian, and three times as many, both came out farther off on seeds below 1000; pulled less towards all inks, dyes unlike those drawn did. */
const INK_MIXTURE = { count: 16, modes: 14, rounds: 15, pull: 60, pullShare: 0.2 } as const;
/** Every kind of ink is wider than what was drawn: real ones are of no list. Chosen on seeds below 1000. */
const INK_WIDER = Math.sqrt(1.5);
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

export function groundPrior(): readonly Component[] {
  const ripple = smoothModes(40, 8);
  const random = seededRandom(SEED + 100);
  const curves = GROUND_CLASSES.flatMap((kind) =>
    Array.from({ length: GROUND_DRAWS }, () => drawGround(kind, ripple, random)),
  );
  return mixtureOf(curves, GROUND_MIXTURE, random).components;
}

/** @param dyes measured absorption curves on the grid */
export function inkPrior(dyes: readonly (readonly number[])[], draws = INK_DRAWS): InkPrior {
  const random = seededRandom(SEED + 200);
  const inks = drawInks(draws, dyes, random);
  const logs = inks.map((k) => k.map((v) => Math.log(v + INK_FLOOR)));
  const { components, owners } = mixtureOf(logs, INK_MIXTURE, random);
  const listed = inks.slice(0, INK_STARTS);
  const kinds = components.map(({ share, mean, modes }, n): InkKind => ({
    share,
    mean,
    modes: modes.map((mode) => mode.map((v) => INK_WIDER * v)),
    starts: listed.filter((_, i) => owners[i] === n),
  }));
  return { kinds: kinds.filter(({ starts }) => starts.length > 0) };
}
