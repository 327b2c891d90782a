/** All findings of an ink with what they were made from and whether that still holds. */
import type { CalibrationSummary, FindingsReport } from '../backend/api.ts';
import type { Library } from '../library/library.ts';
import { type JsonBytes, KeptAnswers } from './keptAnswers.ts';
import { standingFindings } from './storedFindings.ts';
import { standingOf, type Standing } from './standing.ts';

/** Some 0.3 MB for a bench of writing: whoever goes from page to page asks for it on each. */
const kept = new KeptAnswers(4);

/** The same in JSON. */
export function findingsInJson(library: Library, ink: number): JsonBytes {
  const standing = standingOf(library, ink);
  const calibrations = standing.targets.map(({ key }) => library.calibration(key));
  const toldOf = [standing, library.findings(ink), ...calibrations];
  return kept.get(String(ink), toldOf) ?? kept.keep(String(ink), toldOf, findingsOf(library, ink));
}

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
