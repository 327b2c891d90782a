/** From what was read and what is known to the patches that a fit sees; and whether they are enough. */
import { labToXyz } from '../colour/lab.ts';
import type { FlatField, PatchReading, TargetReference } from './calibration.ts';
import { CalibrationError } from './calibrationError.ts';
import type { PatchSample } from './channelCurves.ts';
import { lightAt } from './flatField.ts';
import { relativeDoubtOfY, trustIn } from './referenceDoubt.ts';

/** A target that spans less of the device scale is none, or another part of the scan. */
const LEAST_SPAN = 0.1;
/** A grey by its reference, where the layout names too few. */
const NEAR_NEUTRAL = 5;

export interface Enough {
  readonly fewestPatches: number;
  readonly fewestGreys: number;
}

/** @throws CalibrationError 'patches-unknown' */
export function refuseUnknown(readings: readonly PatchReading[], reference: TargetReference): void {
  const unknown = readings.filter((reading) => !reference.patches.has(reading.id)).map((reading) => reading.id);
  if (unknown.length === 0) return;
  throw new CalibrationError(
    'patches-unknown',
    `The reference has no values for ${unknown.length} of ${readings.length} patches of the target ` +
      `(${unknown.slice(0, 5).join(', ')}${unknown.length > 5 ? ', …' : ''}). ` +
      `Give the reference file that belongs to this layout; its SAMPLE_IDs must be the layout's patch ids.`,
  );
}

/** @param readings of patches that the reference knows */
export function samplesOf(
  readings: readonly PatchReading[],
  reference: TargetReference,
  fewestGreys: number,
  flatField: FlatField | null,
): PatchSample[] {
  const named = readings.filter((reading) => reading.grey).length >= fewestGreys;
  return readings.map((reading) => {
    const { lab, u } = reference.patches.get(reading.id)!;
    return {
      id: reading.id,
      grey: reading.grey || (!named && Math.hypot(lab[1], lab[2]) < NEAR_NEUTRAL),
      device: reading.device,
      light: lightOn(reading, flatField),
      xyz: labToXyz(lab),
      trust: trustIn(lab, u),
      doubtOfY: relativeDoubtOfY(lab, u),
    };
  });
}

/** Light at a patch, per channel, about 1. */
export function lightOn(reading: PatchReading, flatField: FlatField | null): readonly [number, number, number] {
  if (flatField === null) return [1, 1, 1];
  const at = (channel: number): number => lightAt(flatField, channel, reading.centreMm);
  return [at(0), at(1), at(2)];
}

/** @throws CalibrationError 'too-few-patches', 'no-range' or 'too-few-greys' */
export function refuseTooFew(
  patches: readonly PatchSample[],
  left: { readonly given: number; readonly clipped: number; readonly covered: number },
  used: Enough,
): void {
  const why = [
    ...(left.clipped > 0
      ? [`${left.clipped} of ${left.given} were refused as clipped: scan with a lower exposure`]
      : []),
    ...(left.covered > 0 ? [`${left.covered} of ${left.given} are covered or dirty: free the target`] : []),
  ];
  const because = why.length > 0 ? ` (${why.join('; ')})` : '';
  if (patches.length < used.fewestPatches) {
    throw new CalibrationError(
      'too-few-patches',
      `The target shows ${patches.length} usable patches${because}; a calibration needs at least ${used.fewestPatches}. ` +
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
      `The target shows ${greys} usable grey steps${because}; the tone curves need at least ${used.fewestGreys}. ` +
        `Mark the layout's greys with "grey": true, or use a target with a grey scale.`,
    );
  }
}
