/** A reference made for another light or observer would be wrong by several ΔE00 without anybody noticing: signs of that. */
import type { LabD50 } from '../../analysis/colour/lab.ts';
import type { CgatsTable } from './cgats.ts';

/** Keywords in which programs name illuminant and observer; CGATS.17 leaves some of them to custom. */
const PLACES = [
  'ILLUMINANT',
  'ILLUMINATION_NAME',
  'OBSERVER',
  'OBSERVER_ANGLE',
  'WEIGHTING_FUNCTION',
  'COMPUTATIONAL_PARAMETER',
  'MEASUREMENT_SOURCE',
];

/** The header line that names a light other than D50 or the 10° observer, else null. */
export function otherConditions(table: CgatsTable): string | null {
  for (const { keyword, value } of table.header) {
    const line = `${keyword} "${value}"`;
    if (!PLACES.includes(keyword)) continue;
    if (/(?:\b|_)D(?:55|65|75)\b/i.test(line) || /OBSERVER[A-Z_]*\W*10\b/i.test(line)) return line;
  }
  return null;
}

/** Median ΔE*ab between two ways to the same colours of one file. Rounding and another summation give a few tenths. */
export function medianDisagreement(labs: readonly LabD50[], others: readonly LabD50[]): number {
  const steps = labs.map((lab, i) => Math.hypot(...lab.map((v, k) => v - others[i][k]))).sort((a, b) => a - b);
  return steps[steps.length >> 1];
}
