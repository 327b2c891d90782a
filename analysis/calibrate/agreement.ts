/** Whether a reference can belong to a target at all, before anything is fitted: do the patches stand in the order of lightness that it says? */
import type { PatchReading, TargetReference } from './calibration.ts';
import { CalibrationError } from './calibrationError.ts';

/**
 * Below this the reference is another's, or in another order. Sound targets before simulated scanners have 0.9 and more, nearly all 0.95
 * (docs/study/target-faults.md); references of other kinds of chart with the same ids mostly below 0.6.
 */
export const LEAST_AGREEMENT = 0.85;
/** About how the channels add up to lightness, in coded values. */
const LUMINANCE = [0.25, 0.6, 0.15] as const;

/** Spearman's rank correlation of the reference's L* with the patches' device lightness, −1..1; 0 for fewer than three. */
export function lightnessAgreement(readings: readonly PatchReading[], reference: TargetReference): number {
  const known = readings.filter((reading) => reference.patches.has(reading.id));
  const seen = ranks(
    known.map(({ device }) => LUMINANCE[0] * device[0] + LUMINANCE[1] * device[1] + LUMINANCE[2] * device[2]),
  );
  const told = ranks(known.map(({ id }) => reference.patches.get(id)!.lab[0]));
  const n = known.length;
  if (n < 3) return 0;
  const middle = (n - 1) / 2;
  let both = 0;
  let one = 0;
  let other = 0;
  for (let i = 0; i < n; i++) {
    both += (seen[i] - middle) * (told[i] - middle);
    one += (seen[i] - middle) ** 2;
    other += (told[i] - middle) ** 2;
  }
  return one > 0 && other > 0 ? both / Math.sqrt(one * other) : 0;
}

/** @throws CalibrationError 'other-target', 'negative' */
export function refuseOtherTarget(readings: readonly PatchReading[], reference: TargetReference): void {
  const agreement = lightnessAgreement(readings, reference);
  if (agreement >= LEAST_AGREEMENT) return;
  const found = agreement.toFixed(2);
  if (agreement <= -LEAST_AGREEMENT) {
    throw new CalibrationError(
      'negative',
      `The target's light patches are the reference's dark ones (rank correlation of lightness ${found}, 0.95 or more is expected): ` +
        `the scan is a negative. Turn that off in the scanner's software.`,
    );
  }
  throw new CalibrationError(
    'other-target',
    `The patches' lightness does not follow the reference (rank correlation ${found}, 0.95 or more is expected): ` +
      `the reference belongs to another target, the four points are in another order, or much of the target is covered. ` +
      `Give the file that came with this very target, its corners from the layout's top left clockwise, and free it.`,
  );
}

/** Equal values share the mean of their ranks. */
function ranks(values: readonly number[]): number[] {
  const order = values.map((_, i) => i).sort((a, b) => values[a] - values[b]);
  const out: number[] = [];
  for (let from = 0; from < order.length;) {
    let to = from;
    while (to + 1 < order.length && values[order[to + 1]] === values[order[from]]) to++;
    for (let k = from; k <= to; k++) out[order[k]] = (from + to) / 2;
    from = to + 1;
  }
  return out;
}
