/** The report card's rows: every patch as known, as fitted, and as told by a fit that never saw it. */
import { deltaE2000 } from '../colour/deltaE.ts';
import { xyzToLab } from '../colour/lab.ts';
import type { FlatField, PatchFlag, PatchReading, PatchResult, TargetReference } from './calibration.ts';
import type { Candidate } from './candidates.ts';
import { linearSignals, type ChannelCurves, type PatchSample } from './channelCurves.ts';
import { predictColour } from './colourFit.ts';
import { lightOn } from './patchSamples.ts';

export interface ChosenFit {
  readonly chosen: Candidate;
  readonly curves: ChannelCurves;
  readonly flatField: FlatField | null;
  /** What the fit saw; a reading that is not among them was clipped or covered. */
  readonly patches: readonly PatchSample[];
}

/** Each patch as fitted and as told by a fit that never saw it, with ΔE00. @param clippedLimit share of clipped pixels above which a patch is flagged */
export function patchResults(
  readings: readonly PatchReading[],
  reference: TargetReference,
  { chosen, curves, flatField, patches }: ChosenFit,
  clippedLimit: number,
): PatchResult[] {
  const order = new Map(patches.map((patch, i) => [patch.id, i]));
  return readings.map((reading): PatchResult => {
    const { lab: known, u: referenceU } = reference.patches.get(reading.id)!;
    const light = lightOn(reading, flatField);
    const [signal] = linearSignals([{ device: reading.device, light }], curves.curves);
    const fitted = xyzToLab(predictColour(chosen.fit, signal));
    const i = order.get(reading.id);
    // A clipped or covered patch was left out of every fit already.
    const leftOut = i === undefined ? fitted : chosen.leftOut[i];
    const flags: PatchFlag[] = [];
    if (i === undefined) flags.push(reading.clippedShare > clippedLimit ? 'clipped' : 'covered');
    if (curves.pooled.has(reading.id)) flags.push('not-monotone');
    return {
      id: reading.id,
      reference: known,
      ...(referenceU && { referenceU }),
      fitted,
      leftOut,
      dE00Fitted: deltaE2000(known, fitted),
      dE00LeftOut: deltaE2000(known, leftOut),
      device: reading.device,
      sd: reading.sd,
      clippedShare: reading.clippedShare,
      flags,
    };
  });
}

/** How far from its known a*, b* the worst grey comes out: 0 for greys as neutral as they should be. */
export function largestGreyChroma(
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
