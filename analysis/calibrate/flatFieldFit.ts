/** The light over the bed, from the unprinted card that surrounds a target's patches. */
import { fitSurface, surfaceAt } from '../raster/lowOrderSurface.ts';
import type { FlatField, PatchReading, PointMm, SurroundReading, ToneCurve } from './calibration.ts';
import { curveFunction } from './toneCurve.ts';
import { upperMedian } from '../quantile.ts';

/** Six coefficients a channel want at least twice as many readings. */
const FEWEST = 12;
/** The readings must spread over both directions, else a slope across them means nothing. */
const LEAST_SPREAD_MM = 10;
/** Share of the extent that is the middle, and the share of the readings that must lie there before the light may bow. */
const MIDDLE = 0.5;
const LEAST_MIDDLE = 0.15;
/** Bare card read in blocks scatters by a few thousandths about the light's surface. */
const MOST_RESIDUAL = 0.02;
/** Share of the lightest patch's light: of a frame below it, a scanner's stray light is a tenth and more. */
const LEAST_LIGHT = 0.12;

type Triple = readonly [number, number, number];

/**
 * A quadratic surface per channel, mean 1 over the readings, fitted robustly (a stain on the card has no say).
 * @param curves device → linear, so that the surface is one of light and not of coded values
 * @returns null when there are too few readings, all in a row, or no smooth surface: the light then counts as even.
 */
export function fitFlatField(
  surround: readonly SurroundReading[],
  curves: readonly [ToneCurve, ToneCurve, ToneCurve],
): FlatField | null {
  return fitLight(
    surround.map((reading) => reading.placeMm),
    linearLight(surround, curves),
  );
}

/**
 * The surround where it is pale enough to tell the light. A black frame is not: what it shows is mostly the stray light of
 * what lies next to it, and would pass for a shadow.
 * @returns all of it or nothing: a shadow on pale card is to be seen
 */
export function paleSurround(
  surround: readonly SurroundReading[],
  patches: readonly Pick<PatchReading, 'device'>[],
  curves: readonly [ToneCurve, ToneCurve, ToneCurve],
): readonly SurroundReading[] {
  if (surround.length === 0) return surround;
  const lightest = Math.max(...linearLight(patches, curves).map((light) => light[1]));
  return upperMedian(linearLight(surround, curves).map((light) => light[1])) < LEAST_LIGHT * lightest ? [] : surround;
}

/** Device values of bare card or sheet → light, in units of it, per channel. */
export function linearLight(
  readings: readonly Pick<SurroundReading, 'device'>[],
  curves: readonly [ToneCurve, ToneCurve, ToneCurve],
): Triple[] {
  const at = curves.map(curveFunction);
  return readings.map(({ device }) => [at[0](device[0]), at[1](device[1]), at[2](device[2])]);
}

/** The same from light that is linear already. */
export function fitLight(places: readonly PointMm[], linear: readonly Triple[]): FlatField | null {
  if (places.length < FEWEST) return null;
  if (spread(places.map((p) => p[0])) < LEAST_SPREAD_MM || spread(places.map((p) => p[1])) < LEAST_SPREAD_MM)
    return null;
  const surface = fitSurface(places, linear, bothMiddlesSeen(places) ? 2 : 1);
  const values = places.map((p) => {
    const value = [0, 0, 0];
    surfaceAt(surface, p[0], p[1], value);
    return value;
  });
  const mean = [0, 1, 2].map((c) => values.reduce((sum, value) => sum + value[c], 0) / values.length);
  if (!mean.every((value) => value > 0)) return null;
  // A surround that is printed, or no card at all, scatters more than any light does.
  const departures = values.flatMap((value, i) => [0, 1, 2].map((c) => Math.abs(linear[i][c] / value[c] - 1)));
  const residual = 1.4826 * upperMedian(departures);
  if (residual > MOST_RESIDUAL) return null;
  return {
    coefficients: surface.coefficients.map((row, c) => [...row, 0, 0, 0].slice(0, 6).map((value) => value / mean[c])),
    centreMm: surface.centre,
    halfMm: surface.half,
    residual,
  };
}

/** Read along two edges only, a bowl and a level look alike: then a plane is all that can be told. */
function bothMiddlesSeen(places: readonly PointMm[]): boolean {
  return [0, 1].every((k) => {
    const values = places.map((p) => p[k]);
    const [low, high] = [Math.min(...values), Math.max(...values)];
    const inside = values.filter((value) => Math.abs((2 * (value - low)) / (high - low) - 1) < MIDDLE);
    return inside.length >= LEAST_MIDDLE * values.length;
  });
}

function spread(values: readonly number[]): number {
  return Math.max(...values) - Math.min(...values);
}
