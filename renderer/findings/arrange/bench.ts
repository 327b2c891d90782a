/** What the arrangement needs to know of the work: which regions there are, on what paper, and why one has no findings. */
import type { LabValue, Quantity, QuantityName } from '../../../analysis/quantity.ts';
import type { FindingsReport, SheetRegion, TracedFinding } from '../../../electron/backend/api.ts';

export interface Bench {
  readonly regions: readonly BenchRegion[];
  readonly findings: readonly TracedFinding[];
}

export interface BenchRegion {
  readonly region: SheetRegion;
  /** The paper under it, by name; the scan's when nobody named it. */
  readonly paper: string;
  /** Why it gives no findings and what to do; '' when it gives some or nothing is wrong. */
  readonly missing: string;
}

interface Worked {
  readonly job?: { readonly state: string } | null;
  readonly scans: readonly { readonly id: string; readonly paper: string | null }[];
  readonly regions: readonly {
    readonly region: SheetRegion;
    readonly problem: string | null;
    readonly measured: 'current' | 'stale' | 'never';
  }[];
}

const NOT_YET = 'not measured yet: press Measure';
const ON_ITS_WAY = 'measuring…';

export function benchOf(work: Worked, report: Pick<FindingsReport, 'findings' | 'problems'>): Bench {
  const notYet = work.job?.state === 'running' ? ON_ITS_WAY : NOT_YET;
  return {
    findings: report.findings,
    regions: work.regions.map(({ region, problem, measured }) => ({
      region,
      paper: region.paper ?? work.scans.find((s) => s.id === region.scan)?.paper ?? `paper of “${region.scan}”`,
      missing:
        problem ?? report.problems.find((p) => p.region === region.id)?.message ?? (measured === 'never' ? notYet : ''),
    })),
  };
}

/** The finding of this quantity whose subject is these regions in this order. */
export function findingOf(
  { findings }: Pick<Bench, 'findings'>,
  quantity: QuantityName,
  regions: readonly string[],
  band?: number,
): TracedFinding | undefined {
  return findings.find(
    ({ finding: f }) =>
      f.quantity === quantity &&
      f.subject.band === band &&
      f.subject.regions.length === regions.length &&
      f.subject.regions.every((id, i) => id === regions[i]),
  );
}

export function labOf(q: Quantity | undefined): LabValue | null {
  return q !== undefined && isLab(q.value) ? q.value : null;
}

export function isLab(value: Quantity['value']): value is LabValue {
  return typeof value === 'object' && value !== null;
}
