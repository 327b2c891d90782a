import type { LabValue, UncertaintyParts } from '../quantity.ts';
import { triple } from '../triple.ts';

/** Standard uncertainty from its three parts in quadrature, the parts kept beside it. */
export function combineLab(
  repeatability: LabValue,
  calibration: LabValue,
  placement: LabValue,
): { u: LabValue; uParts: UncertaintyParts } {
  const u = triple((c) => Math.hypot(repeatability[c], calibration[c], placement[c]));
  return { u, uParts: { repeatability, calibration, placement } };
}

/** The same of a single number. */
export function combine(
  repeatability: number,
  calibration: number,
  placement: number,
): { u: number; uParts: { repeatability: number; calibration: number; placement: number } } {
  return { u: Math.hypot(repeatability, calibration, placement), uParts: { repeatability, calibration, placement } };
}
