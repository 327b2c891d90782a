/**
 * When a target's patches are not even inside, or do not stand in the reference's order, it may have been read by the wrong points or
 * the wrong layout: the same scan read in other ways says which.
 */
import type { Point } from '../raster/homography.ts';
import { lightnessAgreement } from './agreement.ts';
import type { PatchReading, TargetReference } from './calibration.ts';
import { CalibrationError } from './calibrationError.ts';
import { MOST_COVERED, unevenPatches } from './covered.ts';

/** Another way fits when hardly a patch is uneven and, where its values are known, they stand in order. */
const EVEN_ENOUGH = 0.1;
const AGREES = 0.93;
/** More uneven patches than lie under any hand: the patches are not where the layout says. */
const MISPLACED = 0.4;

/** The orders in which four corners can be given: as indices of the points given, for the layout's top left, top right, bottom right, bottom left. */
export const POINT_ORDERS: readonly (readonly [number, number, number, number])[] = [
  [1, 2, 3, 0],
  [2, 3, 0, 1],
  [3, 0, 1, 2],
  [0, 3, 2, 1],
  [1, 0, 3, 2],
  [2, 1, 0, 3],
  [3, 2, 1, 0],
];

export type OtherReading =
  | { readonly by: 'order'; readonly order: readonly number[]; readonly readings: readonly PatchReading[] }
  | { readonly by: 'layout'; readonly name: string; readonly readings: readonly PatchReading[] };

/** Whether other ways of reading are worth their time. */
export function isDoubtful(readings: readonly PatchReading[], reference: TargetReference): boolean {
  if (readings.length === 0) return true;
  const uneven = unevenPatches(readings);
  if (uneven.size > MOST_COVERED * readings.length) return true;
  const even = readings.filter((reading) => !uneven.has(reading.id));
  return lightnessAgreement(even, reference) < AGREES;
}

/**
 * @param readings none when they would lie outside the scan
 * @param others the same scan read by the other orders of its points, and by other layouts at the same corners
 * @param clockwise whether the points as given run clockwise in the scan, as a layout's do
 * @returns why the target is refused; null: no other way fits better, and the fit is to judge what was read
 */
export function explainMisreading(
  readings: readonly PatchReading[],
  reference: TargetReference,
  others: readonly OtherReading[],
  { name, clockwise }: { readonly name: string; readonly clockwise: boolean },
): CalibrationError | null {
  const uneven = unevenPatches(readings).size;
  const found =
    readings.length === 0
      ? `Patches of the layout "${name}" would lie outside the scan`
      : `${uneven} of ${readings.length} patches of the layout "${name}" are not even inside`;
  const orders = others
    .filter((other) => other.by === 'order')
    .map((other) => ({ ...other, agreement: fitOf(other.readings, reference) }))
    .sort((a, b) => b.agreement - a.agreement);
  const own = fitOf(readings, reference);
  const best = orders.at(0);
  if (best !== undefined && best.agreement >= AGREES && best.agreement > own) return inOrder(best, own, clockwise);
  const share = readings.length === 0 ? 1 : uneven / readings.length;
  if (share <= MOST_COVERED && own >= AGREES) return null;
  const layout = others
    .filter((other) => other.by === 'layout')
    .map((other) => ({ name: other.name, uneven: unevenPatches(other.readings).size / other.readings.length }))
    .sort((a, b) => a.uneven - b.uneven)
    .at(0);
  if (layout !== undefined && layout.uneven <= Math.min(EVEN_ENOUGH, share / 2)) {
    return new CalibrationError(
      'other-layout',
      `${found}; those of the layout "${layout.name}" at the same corners are even. Choose "${layout.name}" and its reference, or check the four points.`,
    );
  }
  if (readings.length === 0 || share <= MISPLACED) return null;
  return new CalibrationError(
    'other-layout',
    `${found}: they do not lie where it says. Put the four points on the layout's own corners, in its order, or choose the layout of this target; if its grid lies right, wipe the dust off target and glass.`,
  );
}

/** Positive when points run clockwise as seen in a scan, whose y points down. */
export function isClockwise(points: readonly Point[]): boolean {
  let twice = 0;
  points.forEach(([x, y], i) => {
    const [nextX, nextY] = points[(i + 1) % points.length];
    twice += x * nextY - nextX * y;
  });
  return twice > 0;
}

/** @returns why a target whose points run the other way round is refused though its values agree */
export function mirroredScan(): CalibrationError {
  return new CalibrationError(
    'points-order',
    `The four points run counter-clockwise and the patches agree with the reference that way, so the scan is mirrored; ` +
      `it must show the target as it lies before one. Turn mirroring off in the scanner's software and scan again.`,
  );
}

/** Agreement of a reading whose patches are even; −1 for others, and for none. */
function fitOf(readings: readonly PatchReading[], reference: TargetReference): number {
  const uneven = unevenPatches(readings);
  if (readings.length === 0 || uneven.size > EVEN_ENOUGH * readings.length) return -1;
  return lightnessAgreement(
    readings.filter((reading) => !uneven.has(reading.id)),
    reference,
  );
}

function inOrder(
  { order, agreement }: { readonly order: readonly number[]; readonly agreement: number },
  own: number,
  clockwise: boolean,
): CalibrationError {
  const runsOn = order[1] === (order[0] + 1) % 4;
  const fits = `In the order ${order.map((i) => i + 1).join(', ')} they do (${agreement.toFixed(2)})`;
  const found =
    own === -1
      ? 'Read in the order of the four points, the patches do not lie where the layout says.'
      : `Read in the order of the four points, the patches' lightness does not follow the reference (rank correlation ${own.toFixed(2)}).`;
  const mend =
    !runsOn && clockwise
      ? `the scan is mirrored. Turn mirroring off in the scanner's software and scan again.`
      : `give them as the layout's top left, top right, bottom right and bottom left: point ${order[0] + 1} is its top left.`;
  return new CalibrationError('points-order', `${found} ${fits}: ${mend}`);
}
