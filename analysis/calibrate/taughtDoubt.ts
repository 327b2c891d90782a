/** What a reference that is itself uncertain, as a taught card's is, adds to the doubt of a colour told through it. */
import { deltaE2000 } from '../colour/deltaE.ts';
import type { LabD50 } from '../colour/lab.ts';
import type { Calibration } from './calibration.ts';
import { labMetric } from './colourMetric.ts';

/** Patches this near in colour (ΔE00, standard deviation of a bell) speak for a colour, as in uncertainty.ts. */
const NEIGHBOURHOOD = 10;

/**
 * Lightness, chroma and hue part, each in ΔE00: the root mean square of the nearest patches' own uncertainties. Not made
 * smaller by their number: what a scanner misread while it taught, it misread alike for all colours of a kind.
 */
export function taughtDoubt(lab: LabD50, { patches }: Calibration): readonly [number, number, number] {
  const sums = [0, 0, 0];
  let total = 0;
  for (const { reference, referenceU, flags } of patches) {
    if (flags.includes('clipped') || flags.includes('covered')) continue;
    const away = deltaE2000(lab, reference) / NEIGHBOURHOOD;
    const weight = Math.exp(-(away * away) / 2) + 1e-4;
    total += weight;
    if (referenceU === undefined) continue;
    const m = labMetric(reference);
    const [uL, ua, ub] = referenceU;
    sums[0] += weight * (m[0] * uL) ** 2;
    sums[1] += weight * ((m[4] * ua) ** 2 + (m[5] * ub) ** 2);
    sums[2] += weight * ((m[7] * ua) ** 2 + (m[8] * ub) ** 2);
  }
  if (total === 0) return [0, 0, 0];
  return [Math.sqrt(sums[0] / total), Math.sqrt(sums[1] / total), Math.sqrt(sums[2] / total)];
}
