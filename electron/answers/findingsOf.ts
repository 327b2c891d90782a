/** All findings of an ink with what they were made from and whether that still holds. */
import type { CalibrationSummary, FindingsReport } from '../backend/api.ts';
import type { Library } from '../library/library.ts';
import { standingFindings } from './storedFindings.ts';
import { standingOf, type Standing } from './standing.ts';

export function findingsOf(library: Library, ink: number): FindingsReport {
  const standing = standingOf(library, ink);
  const { measuredAt, findings, problems } = standingFindings(library.findings(ink), standing);
  return {
    measuredAt,
    problems,
    findings: findings.map(({ stored, current }) => ({
      key: stored.key,
      finding: stored.finding,
      current,
      trace: stored.trace,
    })),
    calibrations: calibrationsOf(library, standing),
  };
}

function calibrationsOf(library: Library, { targets }: Standing): CalibrationSummary[] {
  return targets.flatMap(({ key, named }) => {
    const made = library.calibration(key)?.calibration;
    if (!made) return [];
    const { judgement, model, leftOutMedian, leftOut95 } = made;
    return [{ key, scan: named.scan, judgement, model, leftOutMedian, leftOut95 }];
  });
}
