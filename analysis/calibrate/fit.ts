/** From a target's readings and its known values to a calibration with its report card. */
import { deltaE2000 } from '../colour/deltaE.ts';
import { labToXyz, xyzToLab } from '../colour/lab.ts';
import type {
  Calibration,
  FlatField,
  PatchFlag,
  PatchReading,
  PatchResult,
  SurroundReading,
  TargetReference,
} from './calibration.ts';
import { CalibrationError } from './calibrationError.ts';
import { judgeCandidates, simplestGood, type Candidate } from './candidates.ts';
import { fitOwnCurves, fitSharedCurve, linearSignals, type ChannelCurves, type PatchSample } from './channelCurves.ts';
import { predictColour } from './colourFit.ts';
import { fitFlatField } from './flatFieldFit.ts';
import { lightAt } from './flatField.ts';
import { areFlatSpectra, areMixedGreys } from './mixedGreys.ts';

export { nominalCalibration } from './nominal.ts';

export interface FitOptions {
  /** Unprinted card, for the evenness of the light; left out: the light counts as even. */
  readonly surround?: readonly SurroundReading[];
  /** Weights tried on what goes beyond the 3 × 3. None is left free: a free cubic fits the chart best and inks off the chart worst. @default [0.0001, 0.001, 0.01] */
  readonly ridges?: readonly number[];
  /** A patch with more of its pixels at an end of the scale is refused. @default 0.005 */
  readonly clippedLimit?: number;
  /** Fewer patches than this cannot be judged by leaving out. @default 12 */
  readonly fewestPatches?: number;
  /** Fewer grey steps than this give no tone curve that could spare one. @default 4 */
  readonly fewestGreys?: number;
  /** Left-out median ΔE00 up to which a calibration is 'good', and 'usable'. @default [1, 2] */
  readonly judgementLimits?: readonly [good: number, usable: number];
}

export const FIT_DEFAULTS = {
  surround: [],
  ridges: [0.0001, 0.001, 0.01],
  clippedLimit: 0.005,
  fewestPatches: 12,
  fewestGreys: 4,
  judgementLimits: [1, 2],
} as const satisfies Required<FitOptions>;

/** A target that spans less of the device scale is none, or another part of the scan. */
const LEAST_SPAN = 0.1;
/** A grey by its reference, where the layout names too few. */
const NEAR_NEUTRAL = 5;

export function fitCalibration(
  readings: readonly PatchReading[],
  reference: TargetReference,
  options?: FitOptions,
): Calibration {
  const used = { ...FIT_DEFAULTS, ...options };
  const whole = readings.filter((reading) => reading.clippedShare <= used.clippedLimit);
  const even = samplesOf(whole, reference, used.fewestGreys, null);
  refuseTooFew(even, readings.length, used);

  const drawCurves = areMixed(even, reference) ? fitSharedCurve : fitOwnCurves;
  let curves = drawCurves(even);
  let patches = even;
  let flatField: FlatField | null = null;
  for (let round = 0; round < 2 && used.surround.length > 0; round++) {
    flatField = fitFlatField(used.surround, curves.curves);
    if (flatField === null) break;
    patches = samplesOf(whole, reference, used.fewestGreys, flatField);
    curves = drawCurves(patches);
  }

  const candidates = judgeCandidates(patches, drawCurves, used.ridges);
  const chosen = simplestGood(candidates);
  const sorted = [...chosen.dE00LeftOut].sort((a, b) => a - b);
  const median = quantile(sorted, 0.5);
  const [good, usable] = used.judgementLimits;
  const signals = linearSignals(patches, curves.curves);
  return {
    judgement: median <= good ? 'good' : median <= usable ? 'usable' : 'poor',
    model: chosen.model,
    ridge: chosen.ridge,
    curves: curves.curves,
    matrix: chosen.fit.matrix,
    flatField,
    patches: patchResults(readings, patches, reference, chosen, curves, flatField),
    leftOutMedian: median,
    leftOutMean: chosen.leftOutMean,
    leftOut95: quantile(sorted, 0.95),
    leftOutMax: sorted[sorted.length - 1],
    greyMaxChroma: largestGreyChroma(patches, signals, chosen),
    candidates: candidates.map(({ model, ridge, leftOutMean, standardError }) => ({
      model,
      ridge,
      leftOutMean,
      standardError,
    })),
    colorants: { kind: 'cannot-tell', by: 'nothing' },
    noise: null,
    cautions: [],
    signals,
  };
}

function samplesOf(
  readings: readonly PatchReading[],
  reference: TargetReference,
  fewestGreys: number,
  flatField: FlatField | null,
): PatchSample[] {
  const unknown = readings.filter((reading) => !reference.patches.has(reading.id)).map((reading) => reading.id);
  if (unknown.length > 0) {
    throw new CalibrationError(
      'patches-unknown',
      `The reference has no values for ${unknown.length} of ${readings.length} patches of the target ` +
        `(${unknown.slice(0, 5).join(', ')}${unknown.length > 5 ? ', …' : ''}). ` +
        `Give the reference file that belongs to this layout; its SAMPLE_IDs must be the layout's patch ids.`,
    );
  }
  const named = readings.filter((reading) => reading.grey).length >= fewestGreys;
  return readings.map((reading) => {
    const lab = reference.patches.get(reading.id)!.lab;
    const light = [0, 1, 2].map((c) => (flatField === null ? 1 : lightAt(flatField, c, reading.centreMm)));
    return {
      id: reading.id,
      grey: reading.grey || (!named && Math.hypot(lab[1], lab[2]) < NEAR_NEUTRAL),
      device: reading.device,
      light: [light[0], light[1], light[2]],
      xyz: labToXyz(lab),
    };
  });
}

/** By the greys' spectra where the reference gives them, else by how the channels part along the greys. */
function areMixed(patches: readonly PatchSample[], reference: TargetReference): boolean {
  const greys = patches.filter((patch) => patch.grey);
  const spectra = greys.flatMap((grey) => reference.patches.get(grey.id)?.reflectance ?? []);
  if (spectra.length === greys.length) return !areFlatSpectra(spectra);
  const { curves } = fitOwnCurves(patches);
  const exponent = (curves[0].exponent + curves[1].exponent + curves[2].exponent) / 3;
  return areMixedGreys(
    greys.map((grey) => grey.device),
    greys.map((grey) => grey.xyz),
    exponent,
  );
}

function refuseTooFew(
  patches: readonly PatchSample[],
  given: number,
  used: { readonly fewestPatches: number; readonly fewestGreys: number },
): void {
  const refused = given - patches.length;
  const clipped = refused > 0 ? ` (${refused} of ${given} were refused as clipped: scan with a lower exposure)` : '';
  if (patches.length < used.fewestPatches) {
    throw new CalibrationError(
      'too-few-patches',
      `The target shows ${patches.length} usable patches${clipped}; a calibration needs at least ${used.fewestPatches}. ` +
        `Use a target with more patches, or scan it so that none is clipped.`,
    );
  }
  const spans = [0, 1, 2].map((c) => {
    const values = patches.map((patch) => patch.device[c]);
    return Math.max(...values) - Math.min(...values);
  });
  if (Math.min(...spans) < LEAST_SPAN) {
    const span = (100 * Math.min(...spans)).toFixed(1);
    throw new CalibrationError(
      'no-range',
      `The target's patches differ by only ${span} % of the device scale in one channel; a target spans half of it or more. ` +
        `Check that the four points lie on the target, and that the scan is in colour.`,
    );
  }
  const greys = patches.filter((patch) => patch.grey).length;
  if (greys < used.fewestGreys) {
    throw new CalibrationError(
      'too-few-greys',
      `The target shows ${greys} usable grey steps${clipped}; the tone curves need at least ${used.fewestGreys}. ` +
        `Mark the layout's greys with "grey": true, or use a target with a grey scale.`,
    );
  }
}

function patchResults(
  readings: readonly PatchReading[],
  patches: readonly PatchSample[],
  reference: TargetReference,
  chosen: Candidate,
  curves: ChannelCurves,
  flatField: FlatField | null,
): PatchResult[] {
  const order = new Map(patches.map((patch, i) => [patch.id, i]));
  return readings.flatMap((reading): PatchResult[] => {
    const known = reference.patches.get(reading.id);
    if (known === undefined) return [];
    const light = [0, 1, 2].map((c) => (flatField === null ? 1 : lightAt(flatField, c, reading.centreMm)));
    const [signal] = linearSignals([{ device: reading.device, light: [light[0], light[1], light[2]] }], curves.curves);
    const fitted = xyzToLab(predictColour(chosen.fit, signal));
    const i = order.get(reading.id);
    // A clipped patch was left out of every fit already.
    const leftOut = i === undefined ? fitted : chosen.leftOut[i];
    const flags: PatchFlag[] = [];
    if (i === undefined) flags.push('clipped');
    if (curves.pooled.has(reading.id)) flags.push('not-monotone');
    return [
      {
        id: reading.id,
        reference: known.lab,
        fitted,
        leftOut,
        dE00Fitted: deltaE2000(known.lab, fitted),
        dE00LeftOut: deltaE2000(known.lab, leftOut),
        device: reading.device,
        sd: reading.sd,
        clippedShare: reading.clippedShare,
        flags,
      },
    ];
  });
}

/** How far from its known a*, b* the worst grey comes out: 0 for greys as neutral as they should be. */
function largestGreyChroma(
  patches: readonly PatchSample[],
  signals: readonly (readonly [number, number, number])[],
  chosen: Candidate,
): number {
  return patches.reduce((worst, patch, i) => {
    if (!patch.grey) return worst;
    const lab = xyzToLab(predictColour(chosen.fit, signals[i]));
    const known = xyzToLab(patch.xyz);
    return Math.max(worst, Math.hypot(lab[1] - known[1], lab[2] - known[2]));
  }, 0);
}

function quantile(sorted: readonly number[], q: number): number {
  const at = q * (sorted.length - 1);
  const low = Math.floor(at);
  const high = Math.min(sorted.length - 1, low + 1);
  return sorted[low] + (at - low) * (sorted[high] - sorted[low]);
}
