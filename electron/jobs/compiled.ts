import { type CompiledCalibration, compileCalibration } from '../../analysis/calibrate/apply.ts';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';

let last: { key: string; compiled: CompiledCalibration } | null = null;

/** The lookup tables of a calibration; a worker keeps the last ones, since all regions of a sheet mostly share them. */
export function compiled(calibration: Calibration): CompiledCalibration {
  const key = JSON.stringify([calibration.model, calibration.matrix, calibration.curves, calibration.flatField]);
  if (last?.key !== key) last = { key, compiled: compileCalibration(calibration) };
  return last.compiled;
}
