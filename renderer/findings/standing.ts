/** What the page says of the findings as a whole. Pure. */
import type { FindingsReport, Work } from '../../electron/backend/api.ts';

export type Standing =
  | { readonly is: 'no-regions' }
  | { readonly is: 'never' }
  | { readonly is: 'measuring' }
  | { readonly is: 'stale'; readonly regions: readonly string[]; readonly missing: readonly string[] }
  | { readonly is: 'current' };

type Seen = Pick<Work, 'regions' | 'job'>;

export function standingOf({ regions, job }: Seen, report: Pick<FindingsReport, 'findings' | 'problems'>): Standing {
  if (regions.length === 0) return { is: 'no-regions' };
  if (job?.state === 'running') return { is: 'measuring' };
  // An ink of which no region could be measured was measured all the same: its problems are what there is to see.
  const tried = new Set(report.problems.map(({ region }) => region));
  const untouched = regions.every(({ region, measured }) => measured === 'never' && !tried.has(region.id));
  if (report.findings.length === 0 && untouched) return { is: 'never' };
  const of = (state: 'stale' | 'never'): readonly string[] =>
    regions.flatMap(({ region, measured, problem }) => (measured === state && problem === null ? [region.id] : []));
  const [stale, missing] = [of('stale'), of('never')];
  return stale.length + missing.length > 0 ? { is: 'stale', regions: stale, missing } : { is: 'current' };
}

/** 'ef-white, m-white and b-white', at most `most` names. */
export function listed(names: readonly string[], most = 6): string {
  if (names.length > most) return `${names.slice(0, most - 1).join(', ')} and ${names.length - most + 1} more`;
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
}

export function staleWords({ regions, missing }: Extract<Standing, { is: 'stale' }>): string {
  const parts = [
    ...(regions.length > 0 ? [`Changed since it was measured: ${listed(regions)}.`] : []),
    ...(missing.length > 0 ? [`Not measured yet: ${listed(missing)}.`] : []),
  ];
  return parts.join(' ');
}

/** Kinds that have a cell in some table; there the problem stands beside it. */
const IN_TABLES: readonly string[] = ['strokes', 'swab', 'paper', 'strip'];

export function problemsWithoutCell(
  { regions }: Pick<Work, 'regions'>,
  { problems }: Pick<FindingsReport, 'problems'>,
): FindingsReport['problems'] {
  return problems.filter(({ region: id }) => {
    const kind = regions.find(({ region }) => region.id === id)?.region.kind;
    return kind !== undefined && !IN_TABLES.includes(kind);
  });
}
