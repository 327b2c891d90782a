/** nibShading as a small matrix a paper: which nib against which. */
import type { TracedFinding } from '../../../electron/backend/api.ts';
import { type Bench, type BenchRegion, findingOf, labOf } from './bench.ts';
import { EMPTY, type FindingsTable, findingCell, type Heading } from './table.ts';

export function nibTables(bench: Bench): readonly FindingsTable[] {
  const pairs = bench.findings.filter(({ finding }) => finding.quantity === 'nibShading');
  const of = (region: string): BenchRegion | undefined => bench.regions.find((r) => r.region.id === region);
  const paperOf = ({ finding }: TracedFinding): string | null => {
    const papers = new Set(finding.subject.regions.map((region) => of(region)?.paper ?? null));
    return papers.size === 1 ? [...papers][0] : null;
  };
  const papers = [...new Set(pairs.flatMap((pair) => paperOf(pair) ?? []))];
  return papers.map((paper) =>
    matrix(
      bench,
      paper,
      pairs.filter((pair) => paperOf(pair) === paper),
    ),
  );
}

/** Rows are the nibs that stand first in a pair, columns those that stand second, both as the sheet lists them. */
function matrix(bench: Bench, paper: string, pairs: readonly TracedFinding[]): FindingsTable {
  const inOrder = (place: 0 | 1): readonly BenchRegion[] =>
    bench.regions.filter(({ region }) => pairs.some(({ finding }) => finding.subject.regions[place] === region.id));
  const [first, second] = [inOrder(0), inOrder(1)];
  return {
    id: `nibs|${paper}`,
    title: paper,
    corner: 'nib',
    columns: second.map((region) => headingOf(bench, region)),
    groups: [
      {
        heading: null,
        rows: first.map((row) => ({
          heading: headingOf(bench, row),
          cells: second.map((column) => {
            const traced = findingOf(bench, 'nibShading', [row.region.id, column.region.id]);
            return traced ? findingCell(traced) : EMPTY;
          }),
        })),
      },
    ],
  };
}

/** A nib by its name, or by its region when two regions of it lie on this paper. */
export function headingOf(bench: Bench, { region, paper }: BenchRegion): Heading {
  const nib = 'nib' in region ? region.nib : undefined;
  const alike = bench.regions.filter(
    (r) => r.paper === paper && r.region.kind === region.kind && 'nib' in r.region && r.region.nib === nib,
  );
  const lab = labOf(findingOf(bench, 'inkColour', [region.id])?.finding);
  const swatch = lab ? { swatch: lab } : {};
  if (nib === undefined) return { key: region.id, words: region.id, ...swatch };
  return { key: region.id, words: nib, ...(alike.length > 1 && { detail: region.id }), ...swatch };
}
