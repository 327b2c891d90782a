/** What was measured of an ink, told by what still holds: gone regions take their findings away, changed ones make them stale. */
import { isInksOwn, isOfPen } from '../jobs/keptFilms.ts';
import type { FindingOutline, Run, SavedFinding } from '../library/results.ts';
import type { Standing } from './standing.ts';

export interface StandingFindings<F extends FindingOutline = SavedFinding> {
  readonly measuredAt: string | null;
  readonly findings: readonly { readonly stored: F; readonly current: boolean }[];
  /** Of the last run, as far as its regions are still there and no other reason has come up since. */
  readonly problems: readonly { readonly region: string; readonly message: string }[];
  /** Region → how its own findings stand. */
  readonly regions: ReadonlyMap<string, 'current' | 'stale' | 'never'>;
}

/** @param kept what was found when the ink was last measured; null: it never was */
export function standingFindings<F extends FindingOutline>(
  kept: Run<F> | null,
  standing: Standing,
): StandingFindings<F> {
  const { document } = standing;
  const there = new Set(document.regions.map((r) => r.id));
  const findings = (kept?.findings ?? [])
    .filter(({ finding }) => finding.subject.regions.every((id) => there.has(id)))
    .map((stored) => ({ stored, current: isCurrent(stored, standing) }));
  const old = (kept?.problems ?? []).filter((p) => there.has(p.region) && !standing.problems.has(p.region));
  const now = [...standing.problems].map(([region, message]) => ({ region, message }));
  return {
    measuredAt: kept?.measuredAt ?? null,
    findings,
    // Before the first run nothing is wrong with what nobody asked for yet.
    problems: kept === null ? [] : [...now, ...old],
    regions: new Map(document.regions.map(({ id }) => [id, measuredOf(id, findings)])),
  };
}

function isCurrent({ finding, regionKeys, trace }: FindingOutline, { madeFrom, isPair, isPens }: Standing): boolean {
  const { regions, on } = finding.subject;
  if (isOfPen(finding) && !isPens(regions, on)) return false;
  if (regions.length === 2 && !isInksOwn(finding) && !isPair(regions[0], regions[1])) return false;
  if (trace.fittedWith?.some(({ region, key }) => madeFrom.get(region) !== key)) return false;
  return regions.every((id, k) => madeFrom.get(id) === regionKeys[k]);
}

function measuredOf(id: string, findings: StandingFindings<FindingOutline>['findings']): 'current' | 'stale' | 'never' {
  const own = findings.find(({ stored }) => {
    const { regions } = stored.finding.subject;
    return regions.length === 1 && regions[0] === id && !isInksOwn(stored.finding);
  });
  return own === undefined ? 'never' : own.current ? 'current' : 'stale';
}
