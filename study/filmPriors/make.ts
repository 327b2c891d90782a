/** Makes the prior tables of analysis/film/priors: what sensors, inks and papers may be, before anything is measured. */
import { seededRandom } from '../../analysis/seededRandom.ts';
import { smoothModes } from '../../analysis/film/smoothModes.ts';
import { drawGround, GROUND_CLASSES } from './drawGrounds.ts';
import { type Component, type Mixture, mixtureOf } from './mixture.ts';
import { dyeKind, type InkPrior, pigmentKind } from '../../analysis/film/inkPrior.ts';
import { drawInks } from './drawInks.ts';
import { drawPigment } from './drawPigments.ts';
import { drawSensors, LAMP_CLASSES } from './drawSensors.ts';
import { modesOf } from './modesOf.ts';

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
const PIGMENT_DRAWS = 3000;
const PIGMENT_MIXTURE = { count: 12, modes: 16, rounds: 15, pull: 60, pullShare: 0.2 } as const;
const PIGMENT_WIDER = Math.sqrt(1.5);
const PIGMENT_STARTS = 600;
/** Scatter matters less than absorption: modes are chosen with its logarithm counted by this. */
const SCATTER_WEIGHT = 0.7;
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

/** Kinds as tables hold them: curves of 36 values, or of 72 where scatter goes with absorption. */
export interface KindRows {
  readonly share: number;
  readonly mean: Float64Array;
  readonly modes: readonly Float64Array[];
  /** Curves themselves, not their logarithms. */
  readonly starts: readonly Float64Array[];
}

/** @param dyes measured absorption curves on the grid */
export function dyeKinds(dyes: readonly (readonly number[])[], draws = INK_DRAWS): KindRows[] {
  const random = seededRandom(SEED + 200);
  const inks = drawInks(draws, dyes, random);
  const logs = inks.map((k) => k.map((v) => Math.log(v + INK_FLOOR)));
  return kindsOf(inks, mixtureOf(logs, INK_MIXTURE, random), INK_WIDER, INK_STARTS);
}

/** @param dyes measured absorption curves on the grid */
export function pigmentKinds(dyes: readonly (readonly number[])[], draws = PIGMENT_DRAWS): KindRows[] {
  const random = seededRandom(SEED + 300);
  const inks = Array.from({ length: draws }, () => drawPigment(dyes, random));
  const curves = inks.map(({ k, scatter }) => Float64Array.from([...k, ...scatter]));
  const logs = inks.map(({ k, scatter }) =>
    Float64Array.from([
      ...k.map((v) => Math.log(v + INK_FLOOR)),
      ...scatter.map((v) => SCATTER_WEIGHT * Math.log(v + 1e-4)),
    ]),
  );
  return kindsOf(curves, mixtureOf(logs, PIGMENT_MIXTURE, random), PIGMENT_WIDER, PIGMENT_STARTS).map((kind) => ({
    ...kind,
    mean: unweighed(kind.mean),
    modes: kind.modes.map(unweighed),
  }));
}

function unweighed(both: Float64Array): Float64Array {
  return both.map((v, i) => (i < both.length / 2 ? v : v / SCATTER_WEIGHT));
}

function kindsOf(
  inks: readonly Float64Array[],
  { components, owners }: Mixture,
  wider: number,
  count: number,
): KindRows[] {
  const listed = inks.slice(0, count);
  return components
    .map(({ share, mean, modes }, n) => ({
      share,
      mean,
      modes: modes.map((mode) => mode.map((v) => wider * v)),
      starts: listed.filter((_, i) => owners[i] === n),
    }))
    .filter(({ starts }) => starts.length > 0);
}

/** @param dyes measured absorption curves on the grid */
export function inkPrior(dyes: readonly (readonly number[])[], pigments = pigmentKinds(dyes)): InkPrior {
  return {
    kinds: [
      ...dyeKinds(dyes).map(({ share, mean, modes, starts }) => dyeKind(share, mean, modes, starts)),
      ...pigments.map(({ share, mean, modes, starts }) => pigmentKind(share, mean, modes, starts)),
    ],
  };
}
