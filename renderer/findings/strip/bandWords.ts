/** R_F with its ± for each band of a strip, as its profile labels them. Pure. */
import { withUncertainty } from '../../../analysis/report/valueText.ts';
import type { TracedFinding } from '../../../electron/backend/api.ts';

export function bandWords(region: string, findings: readonly TracedFinding[]): ReadonlyMap<number, string> {
  return new Map(
    findings.flatMap(({ finding: { quantity, subject, value, u } }): [number, string][] => {
      const own = quantity === 'bandPosition' && subject.regions.length === 1 && subject.regions[0] === region;
      if (!own || subject.band === undefined || typeof value !== 'number') return [];
      return [[subject.band, withUncertainty(value, typeof u === 'number' ? u : null)]];
    }),
  );
}
