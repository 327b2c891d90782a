/** An ink as its shelf shows it: how much there is, how far it has come, and what asks for attention. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { InkCard, StageState } from '../backend/api.ts';
import type { InkRow } from '../library/inkShelf.ts';
import type { FindingOutline } from '../library/results.ts';
import type { StandingFindings } from './storedFindings.ts';
import type { Standing } from './standing.ts';

/** @param calibration what is known of a target's calibration by its key */
export function inkCard(
  row: InkRow,
  standing: Standing,
  stored: StandingFindings<FindingOutline>,
  calibration: (key: string) => { readonly poor: boolean; readonly problem: string | null },
): InkCard {
  const { document, targets } = standing;
  const scans = scansAttention(standing);
  const calibrations = targets.flatMap(({ key, named }) => {
    const { poor, problem } = calibration(key);
    if (problem !== null) return [`the target in scan “${named.scan}” cannot be used: ${problem}`];
    return poor ? [`the calibration by the target in scan “${named.scan}” is poor`] : [];
  });
  const findings = findingsAttention(standing, stored);
  return {
    id: row.id,
    name: row.name,
    maker: row.maker,
    claim: document.ink.claim ?? null,
    invented: row.invented,
    scans: document.scans.length,
    regions: document.regions.length,
    findings: stored.findings.length,
    swatches: swatchesOf(stored),
    stages: {
      scans: stage(document.scans.length > 0, [...scans, ...calibrations]),
      // What was measured of regions that are all gone is nothing that a page can show.
      findings: stage(stored.measuredAt !== null && document.regions.length > 0, findings),
    },
    attention: [...scans, ...calibrations, ...findings].join('; '),
    changedAt: row.changedAt,
  };
}

function stage(begun: boolean, attention: readonly string[]): StageState {
  return !begun ? 'not-yet' : attention.length > 0 ? 'attention' : 'done';
}

function scansAttention({ document, scans }: Standing): string[] {
  const all = [...scans.values()];
  const words = all.flatMap(({ problem }) => (problem === null ? [] : [problem.replace(/\.$/, '')]));
  const nameless = all.filter(({ scan, problem }) => {
    const onIt = document.regions.filter((r) => r.scan === scan.id && r.kind !== 'strip');
    return problem === null && scan.paper === undefined && onIt.some((r) => r.paper === undefined);
  });
  if (nameless.length > 0) {
    words.push(
      `${listed(
        nameless.map((s) => s.scan.id),
        'scan',
        'scans',
      )} without the name of a paper`,
    );
  }
  if (all.length > 0 && document.regions.length === 0) words.push('no region says yet where ink lies');
  return [...new Set(words)];
}

function findingsAttention({ document, madeFrom }: Standing, stored: StandingFindings<FindingOutline>): string[] {
  if (stored.measuredAt === null) return [];
  const words: string[] = [];
  const states = document.regions.filter((r) => madeFrom.has(r.id)).map((r) => stored.regions.get(r.id));
  const changed = states.filter((s) => s === 'stale').length;
  const unmeasured = document.regions.filter(
    (r) =>
      madeFrom.has(r.id) && stored.regions.get(r.id) === 'never' && !stored.problems.some((p) => p.region === r.id),
  ).length;
  if (changed > 0) {
    words.push(
      counted(changed, 'region has changed since it was', 'regions have changed since they were') + ' measured',
    );
  }
  if (unmeasured > 0) words.push(`${counted(unmeasured, 'region is', 'regions are')} not measured yet`);
  if (words.length === 0 && stored.findings.some((f) => !f.current)) {
    words.push('findings that compare regions are older than the regions');
  }
  if (words.length > 0) words.push('measure again');
  const faulty = new Set(stored.problems.map((p) => p.region)).size;
  if (faulty > 0) words.push(`${counted(faulty, 'region', 'regions')} could not be measured`);
  return words;
}

function swatchesOf({ findings }: StandingFindings<FindingOutline>): LabValue[] {
  return findings
    .flatMap(({ stored: { finding } }) =>
      finding.quantity === 'inkColour' && finding.value !== null && typeof finding.value !== 'number'
        ? [finding.value]
        : [],
    )
    .toSorted((a, b) => b[0] - a[0]);
}

function listed(ids: readonly string[], one: string, several: string): string {
  return `${ids.length === 1 ? one : several} ${ids.map((id) => `“${id}”`).join(', ')}`;
}

function counted(n: number, one: string, several: string): string {
  return `${n} ${n === 1 ? one : several}`;
}
