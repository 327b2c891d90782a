/** From a target's readings and its known values to a calibration with its report card. */
import { labToXyz } from '../colour/lab.ts';
import type {
  Calibration,
  FlatField,
  PatchReading,
  SurroundReading,
  TargetReference,
  ToneCurve,
} from './calibration.ts';
import { CalibrationError } from './calibrationError.ts';
import { refuseOtherTarget } from './agreement.ts';
import { judgeCandidates, leftOutWeights, simplestGood } from './candidates.ts';
import { cautionsOf, judgedWith } from './cautions.ts';
import { fitOwnCurves, fitSharedCurve, linearSignals, type PatchSample } from './channelCurves.ts';
import { colorantsOf } from './colorants.ts';
import { coveredPatches, MOST_COVERED, type CoverSign } from './covered.ts';
import { exchangedChannels } from './exchangedChannels.ts';
import { lightDriftOver, lightSlopeOver } from './lightDrift.ts';
import { fitFlatField, paleSurround } from './flatFieldFit.ts';
import { areFlatSpectra, areMixedGreys } from './mixedGreys.ts';
import { largestGreyChroma, patchResults } from './patchResults.ts';
import { doubtOf } from './referenceDoubt.ts';
import { refuseTooFew, refuseUnknown, samplesOf } from './patchSamples.ts';
import { pixelNoise } from './pixelNoise.ts';
import { shadowOver } from './shadow.ts';
import { curveFunction } from './toneCurve.ts';
import { fitWhiteField, whiteMisfit, whiteShortOf } from './whiteField.ts';
import type { WhiteSheet } from './whiteSheet.ts';

export interface FitOptions {
  /** Unprinted card, for the evenness of the light; left out: the light counts as even. */
  readonly surround?: readonly SurroundReading[];
  /** A bare white sheet scanned by itself: it then tells the light, and the surround only checks it. */
  readonly white?: WhiteSheet | null;
  /** Weights tried on what goes beyond the 3 × 3. None is left free: a free cubic fits the chart best and inks off the chart worst. @default [0.0001, 0.001, 0.01] */
  readonly ridges?: readonly number[];
  /** A patch with more of its pixels at an end of the scale is refused. @default 0.005 */
  readonly clippedLimit?: number;
  /** Share of the patches that may be left out as covered; more, and the target is refused. @default 0.15 */
  readonly coveredLimit?: number;
  /** Fewer patches than this cannot be judged by leaving out. @default 12 */
  readonly fewestPatches?: number;
  /** Fewer grey steps than this give no tone curve that could spare one. @default 4 */
  readonly fewestGreys?: number;
  /** Left-out median ΔE00 up to which a calibration is 'good', and 'usable'. @default [1, 2] */
  readonly judgementLimits?: readonly [good: number, usable: number];
}

export const FIT_DEFAULTS = {
  surround: [],
  white: null,
  ridges: [0.0001, 0.001, 0.01],
  clippedLimit: 0.005,
  coveredLimit: MOST_COVERED,
  fewestPatches: 12,
  fewestGreys: 4,
  judgementLimits: [1, 2],
} as const satisfies Required<FitOptions>;

/** Light and curves are drawn through each other so many times. */
const LIGHT_ROUNDS = 2;
const MOST_UNDER_A_HAND = 0.4;

type Used = Required<FitOptions>;

/**
 * A patch that departed in the robust first look and agrees after all with a fit that never saw it is let back in: so far may it miss,
 * ΔE00, or so many times the left-out errors' 95th percentile.
 */
const AGREES = 7;
const AGREES_TIMES = 3.5;

/** @throws CalibrationError when the target cannot serve */
export function fitCalibration(
  readings: readonly PatchReading[],
  reference: TargetReference,
  options?: FitOptions,
): Calibration {
  const used: Used = { ...FIT_DEFAULTS, ...options };
  refuseUnknown(readings, reference);
  const whole = readings.filter((reading) => reading.clippedShare <= used.clippedLimit);
  const covered = coveredIn(readings, whole, reference, used);
  const first = fitWithout(covered, readings, reference, used);
  const agrees = Math.max(AGREES, AGREES_TIMES * first.leftOut95!);
  const sound = first.patches.filter(({ id, dE00Fitted }) => covered.get(id) === 'departs' && dE00Fitted < agrees);
  if (sound.length === 0) return first;
  const back = new Set(sound.map(({ id }) => id));
  return fitWithout(new Map([...covered].filter(([id]) => !back.has(id))), readings, reference, used);
}

function fitWithout(
  covered: ReadonlyMap<string, CoverSign>,
  readings: readonly PatchReading[],
  reference: TargetReference,
  used: Used,
): Calibration {
  const kept = readings.filter(({ id, clippedShare }) => clippedShare <= used.clippedLimit && !covered.has(id));
  const even = samplesOf(kept, reference, used.fewestGreys, null);
  const mixed = areMixed(even, reference);
  const drawCurves = mixed === true ? fitSharedCurve : fitOwnCurves;
  let curves = drawCurves(even);
  const bare = paleSurround(used.surround, kept, curves.curves);
  let patches = even;
  let flatField: FlatField | null = null;
  const fieldBy = (by: Calibration['curves']): FlatField | null =>
    used.white === null ? fitFlatField(bare, by) : fitWhiteField(used.white, by);
  // Strong light across the greys bends their curves so much that no surface is smooth through them; their power law bears it.
  let next = fieldBy(curves.curves) ?? fieldBy(plainPowers(curves.curves));
  for (let round = 1; next !== null; round++) {
    flatField = next;
    patches = samplesOf(kept, reference, used.fewestGreys, flatField);
    curves = drawCurves(patches);
    next = round < LIGHT_ROUNDS ? fieldBy(curves.curves) : null;
  }

  const candidates = judgeCandidates(patches, drawCurves, used.ridges);
  const chosen = simplestGood(candidates);
  const quantile = weightedQuantiles(chosen.dE00LeftOut, leftOutWeights(patches));
  const median = quantile(0.5);
  const [good, usable] = used.judgementLimits;
  const signals = linearSignals(patches, curves.curves);
  const greyMaxChroma = largestGreyChroma(patches, signals, chosen);
  const noise = pixelNoise(kept, curves.curves, chosen.fit);
  const colorants = colorantsOf(
    reference,
    readings.map((reading) => reading.id),
    mixed,
  );
  const overBed = patches.map((patch, i) => ({
    placeMm: kept[i].centreMm,
    known: patch.xyz[1],
    told: labToXyz(chosen.leftOut[i])[1],
  }));
  const cautions = cautionsOf({
    readings: readings.map((reading) => ({ ...reading, knownL: reference.patches.get(reading.id)!.lab[0] })),
    clippedLimit: used.clippedLimit,
    covered,
    leftOutMedian: median,
    greyMaxChroma,
    mixedGreys: mixed === true,
    pooled: [...curves.pooled],
    exposure: exposureOf(kept, curves.curves),
    drift: lightDriftOver(overBed),
    slope: lightSlopeOver(overBed),
    lightRange: flatField === null ? null : rangeOf(patches.map((patch) => patch.light[1])),
    shadow: flatField === null ? shadowOver(bare, curves.curves) : null,
    whiteMisfit: used.white === null ? null : whiteMisfit(bare, flatField, curves.curves),
    whiteShort: used.white === null ? null : whiteShortOf(used.white, readings),
    noise,
    colorants,
    referenceDoubt: medianDoubt(kept, reference),
    exchanged: exchangedChannels(kept, reference),
  });
  return {
    judgement: judgedWith(median <= good ? 'good' : median <= usable ? 'usable' : 'poor', cautions),
    model: chosen.model,
    ridge: chosen.ridge,
    curves: curves.curves,
    matrix: chosen.fit.matrix,
    flatField,
    patches: patchResults(readings, reference, { chosen, curves, flatField, patches }, used.clippedLimit),
    leftOutMedian: median,
    leftOutMean: chosen.leftOutMean,
    leftOut95: quantile(0.95),
    leftOutMax: Math.max(...chosen.dE00LeftOut),
    greyMaxChroma,
    candidates: candidates.map(({ model, ridge, leftOutMean, standardError }) => ({
      model,
      ridge,
      leftOutMean,
      standardError,
    })),
    colorants,
    noise,
    cautions: cautions.map(({ code, words }) => ({ code, words })),
    signals,
  };
}

/** What of a target is covered. One that shows too little or another's values is refused here. */
function coveredIn(
  readings: readonly PatchReading[],
  whole: readonly PatchReading[],
  reference: TargetReference,
  used: Used,
): ReadonlyMap<string, CoverSign> {
  const left = { given: readings.length, clipped: readings.length - whole.length, covered: 0 };
  refuseTooFew(samplesOf(whole, reference, used.fewestGreys, null), left, used);
  const covered = coveredPatches(whole, reference);
  const kept = whole.filter((reading) => !covered.has(reading.id));
  // A hand may lie on a third of a target; where more departs, those that agree do so by chance.
  refuseOtherTarget(covered.size > MOST_UNDER_A_HAND * readings.length ? whole : kept, reference);
  if (covered.size > used.coveredLimit * readings.length) {
    const uneven = [...covered.values()].filter((sign) => sign === 'uneven').length;
    throw new CalibrationError(
      'covered',
      `${covered.size} of ${readings.length} patches are covered or do not show what the reference says ` +
        `(${uneven} are not even inside); at most ${Math.floor(used.coveredLimit * readings.length)} can be left out. ` +
        `Free and clean the target, check its four points and its reference, and scan again.`,
    );
  }
  refuseTooFew(samplesOf(kept, reference, used.fewestGreys, null), { ...left, covered: covered.size }, used);
  return covered;
}

/** By the greys' spectra where the reference gives them, else by how the channels part along the greys; null: they cannot say. */
function areMixed(patches: readonly PatchSample[], reference: TargetReference): boolean | null {
  const greys = patches.filter((patch) => patch.grey);
  const spectra = greys.flatMap((grey) => reference.patches.get(grey.id)?.reflectance ?? []);
  if (spectra.length === greys.length) return !areFlatSpectra(spectra);
  const { curves } = fitOwnCurves(patches);
  const exponent = (curves[0].exponent + curves[1].exponent + curves[2].exponent) / 3;
  return areMixedGreys(
    greys.map((grey) => grey.device),
    greys.map((grey) => grey.xyz),
    exponent,
  )
    ? true
    : null;
}

/** The curves' power laws alone, without the knots. */
function plainPowers(curves: Calibration['curves']): Calibration['curves'] {
  const [r, g, b] = curves.map(({ exponent }): ToneCurve => {
    const device = Array.from({ length: 33 }, (_, i) => i / 32);
    return { device, linear: device.map((value) => value ** exponent), exponent, flare: 0 };
  });
  return [r, g, b];
}

/** The lightest patch's brightest channel as a share of full light, by the curves' own power. */
function exposureOf(readings: readonly PatchReading[], curves: Calibration['curves']): number {
  const tops = curves.map((curve) => curveFunction(curve)(1));
  return readings.reduce((most, { device }) => {
    const shares = device.map((value, c) => curveFunction(curves[c])(value) / tops[c]);
    return Math.max(most, ...shares);
  }, 0);
}

function rangeOf(values: readonly number[]): number {
  return Math.max(...values) / Math.min(...values) - 1;
}

/** Quantiles between the values; equal weights give the usual ones. */
function weightedQuantiles(values: readonly number[], weights: readonly number[]): (q: number) => number {
  const order = values.map((_, i) => i).sort((a, b) => values[a] - values[b]);
  const places: number[] = [];
  let sum = 0;
  for (const i of order) {
    places.push(sum + weights[i] / 2);
    sum += weights[i];
  }
  const [from, to] = [places[0], places[places.length - 1]];
  return (q) => {
    const at = from + q * (to - from);
    let high = places.findIndex((place) => place >= at - 1e-12);
    if (high <= 0) high = Math.min(1, places.length - 1);
    const low = Math.max(0, high - 1);
    const span = places[high] - places[low];
    const share = span > 0 ? Math.min(1, Math.max(0, (at - places[low]) / span)) : 0;
    return values[order[low]] + share * (values[order[high]] - values[order[low]]);
  };
}

function medianDoubt(kept: readonly PatchReading[], reference: TargetReference): number {
  const doubts = kept
    .map(({ id }) => {
      const { lab, u } = reference.patches.get(id)!;
      return u === undefined ? 0 : doubtOf(lab, u);
    })
    .sort((a, b) => a - b);
  return doubts[doubts.length >> 1] ?? 0;
}
