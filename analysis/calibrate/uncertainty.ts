// Placeholder until CALIBRATE writes this file: overwrite it whole.
import type { Calibration } from './calibration.ts';
import type { LabD50 } from '../colour/lab.ts';
import { deltaE2000 } from '../colour/deltaE.ts';
export function colourUncertainty(_lab: LabD50, _c: Calibration): readonly [number, number, number] {
  return [0.6, 0.9, 0.9];
}
export function differenceUncertainty(a: LabD50, b: LabD50, _c: Calibration): number {
  return Math.min(1.5, 0.1 * deltaE2000(a, b));
}
