import { type LabD50, type Xyz, xyzToLab } from '../colour/lab.ts';
import { type CompiledCalibration, signalToXyz } from '../calibrate/apply.ts';
import type { PaperSurface } from '../locate/paperSurface.ts';
import { surfaceAt } from '../raster/lowOrderSurface.ts';

/** One paper as the reference for the ink on it. */
export interface BarePaper {
  readonly signal: readonly [number, number, number];
  readonly xyz: Xyz;
  readonly lab: LabD50;
}

/** @param signal Mean linear signal of the bare paper, 1 for full light; all ink on it is told as if it lay there. */
export function barePaperOf(signal: readonly [number, number, number], calibration: CompiledCalibration): BarePaper {
  const xyz = signalToXyz(signal, calibration);
  return { signal, xyz, lab: xyzToLab(xyz) };
}

/** The reference when no region was marked as bare paper: the surface at its own centre. */
export function barePaperFromSurface(paper: PaperSurface, calibration: CompiledCalibration): BarePaper {
  const at: [number, number, number] = [0, 0, 0];
  surfaceAt(paper.surface, paper.surface.centre[0], paper.surface.centre[1], at);
  return barePaperOf(at, calibration);
}

/**
 * Nothing gives back more light than falls on it. The whitest papers reflect 93 to 95 % of it; what a brightener adds to Y, uneven light and the calibration's
 * error come to a few per cent more: Y of 1.026. Common practice, no source.
 */
const LIGHTEST_L = 101;

/** The scan was made with more light or exposure than the target that it is read through. */
export function isLighterThanPaper({ lab }: BarePaper): boolean {
  return lab[0] > LIGHTEST_L;
}
