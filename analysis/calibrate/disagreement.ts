/** How far two calibrations disagree: those of one scanner say nearly the same of the same device values, those of two do not. */
import { deltaE2000 } from '../colour/deltaE.ts';
import { xyzToLab } from '../colour/lab.ts';
import type { Calibration } from './calibration.ts';
import { linearSignals } from './channelCurves.ts';
import { predictColour } from './colourFit.ts';

/** Mean ΔE00 over the device values of both targets' sound patches; infinite when neither has any. */
export function disagreement(a: Calibration, b: Calibration): number {
  if (a === b) return 0;
  const sound = [...a.patches, ...b.patches].filter(({ flags }) => flags.length === 0);
  if (sound.length === 0) return Infinity;
  const lit = sound.map(({ device }) => ({ device, light: [1, 1, 1] as const }));
  const [from, to] = [a, b].map((c) =>
    linearSignals(lit, c.curves).map((signal) => xyzToLab(predictColour(c, signal))),
  );
  return from.reduce((sum, lab, i) => sum + deltaE2000(lab, to[i]), 0) / from.length;
}
