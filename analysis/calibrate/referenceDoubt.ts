/** How a patch whose known value is itself uncertain counts: a card that was taught, against one that an instrument measured. */
import type { LabD50 } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';
import { labMetric } from './colourMetric.ts';

/** What a scanner's map misses a patch by anyhow, ΔE00: a reference good to a part of it loses no weight (docs/study/calibration.md). */
const SCANNER_ERROR = 1;

/** Factor on a patch's residual in the fit, 1 for a reference without doubt: residuals are weighed by 1 / (scanner's² + reference's²). */
export function trustIn(lab: LabD50, u: LabValue | undefined): number {
  if (u === undefined) return 1;
  return 1 / Math.hypot(1, doubtOf(lab, u) / SCANNER_ERROR);
}

/** The length in ΔE00 of a reference's own uncertainty. */
export function doubtOf(lab: LabD50, u: LabValue): number {
  const m = labMetric(lab);
  let sum = 0;
  for (let row = 0; row < 3; row++) for (let k = 0; k < 3; k++) sum += (m[3 * row + k] * u[k]) ** 2;
  return Math.sqrt(sum);
}

/** Standard uncertainty of Y relative to Y, from that of L* (CIE 15: Y = ((L* + 16) / 116)³, straight below L* 8). */
export function relativeDoubtOfY(lab: LabD50, u: LabValue | undefined): number {
  if (u === undefined) return 0;
  return lab[0] > 8 ? (3 * u[0]) / (lab[0] + 16) : u[0] / Math.max(lab[0], 0.5);
}
