/** How a scanner has changed between two calibrations: the same device values through the earlier map and through the later one. */
import { inverse3, times } from '../colour/adapt.ts';
import { deltaE2000 } from '../colour/deltaE.ts';
import { type LabD50, xyzToLab } from '../colour/lab.ts';
import type { Calibration } from './calibration.ts';
import { predictColour } from './colourFit.ts';
import { median } from '../quantile.ts';
import { curveFunction } from './toneCurve.ts';

/** The way from device values to XYZ. */
export type ColourMap = Pick<Calibration, 'model' | 'curves' | 'matrix'>;

/** A patch of the later target as it was scanned. */
export interface DriftReading {
  /** Device 0..1. */
  readonly device: readonly [number, number, number];
  /** The light at its place, about 1 per channel: taken out before both maps, since a target seldom lies in one place twice. */
  readonly light: readonly [number, number, number];
}

export interface Drift {
  readonly medianDE00: number;
  readonly largestDE00: number;
  /** Factor by which each channel's signals have grown: 1.012 is 1.2 % brighter. */
  readonly brighter: readonly [number, number, number];
  /** Median ΔE00 that is left when the earlier map is told of these factors. */
  readonly restDE00: number;
}

const ROUNDS = 8;
const STEP = 1e-4;

/**
 * Factors are those by which the earlier map's signals must be divided to come closest to the later colours, by least squares in Lab
 * (Gauss–Newton). They are asked of the maps as a whole, since two targets may share one tone curve or have three.
 * @returns null for fewer than four patches: three factors would explain any change of them.
 */
export function driftBetween(before: ColourMap, now: ColourMap, patches: readonly DriftReading[]): Drift | null {
  if (patches.length < 4) return null;
  const labNow = coloursThrough(now, patches, [0, 0, 0]);
  const differences = (log: readonly number[]): number[] =>
    coloursThrough(before, patches, log).map((lab, i) => deltaE2000(lab, labNow[i]));
  const log = brightnessBetween(before, labNow, patches);
  const plain = differences([0, 0, 0]);
  return {
    medianDE00: median(plain),
    largestDE00: Math.max(...plain),
    brighter: [Math.exp(log[0]), Math.exp(log[1]), Math.exp(log[2])],
    restDE00: median(differences(log)),
  };
}

function brightnessBetween(
  before: ColourMap,
  labNow: readonly LabD50[],
  patches: readonly DriftReading[],
): readonly number[] {
  let log: readonly number[] = [0, 0, 0];
  for (let round = 0; round < ROUNDS; round++) {
    const here = coloursThrough(before, patches, log);
    const moved = [0, 1, 2].map((c) =>
      coloursThrough(
        before,
        patches,
        log.map((value, i) => (i === c ? value + STEP : value)),
      ),
    );
    const normal = [0, 1, 2].map(() => [0, 0, 0]);
    const right: [number, number, number] = [0, 0, 0];
    here.forEach((lab, patch) => {
      for (let k = 0; k < 3; k++) {
        const slopes = moved.map((labs) => (labs[patch][k] - lab[k]) / STEP);
        for (let i = 0; i < 3; i++) {
          right[i] += slopes[i] * (labNow[patch][k] - lab[k]);
          for (let j = 0; j < 3; j++) normal[i][j] += slopes[i] * slopes[j];
        }
      }
    });
    // A trace of it keeps the solve safe where a channel changes nothing.
    for (let i = 0; i < 3; i++) normal[i][i] += 1e-9 * (normal[0][0] + normal[1][1] + normal[2][2]) + 1e-12;
    const step = times(inverse3(normal), right);
    log = log.map((value, i) => value + step[i]);
  }
  return log;
}

function coloursThrough(
  { model, curves, matrix }: ColourMap,
  patches: readonly DriftReading[],
  log: readonly number[],
): LabD50[] {
  const [red, green, blue] = curves.map(curveFunction);
  const fit = { model, ridge: 0, matrix };
  const [kr, kg, kb] = log.map(Math.exp);
  return patches.map(({ device, light }) =>
    xyzToLab(
      predictColour(fit, [
        red(device[0]) / light[0] / kr,
        green(device[1]) / light[1] / kg,
        blue(device[2]) / light[2] / kb,
      ]),
    ),
  );
}
