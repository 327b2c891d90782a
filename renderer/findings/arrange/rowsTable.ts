import { unitMark } from '../../../analysis/report/titles.ts';
import type { TracedFinding } from '../../../electron/backend/api.ts';
import type { Bench } from './bench.ts';
import { quantityHeading } from './quantityHeadings.ts';
import { type FindingsTable, findingCell } from './table.ts';

/** A table of one column, a finding a row. @param detailOf What tells a row from others of its quantity; may be empty. */
export function rowsTable(
  name: Pick<FindingsTable, 'id' | 'title'>,
  own: readonly TracedFinding[],
  detailOf: (traced: TracedFinding) => string,
): FindingsTable {
  return {
    ...name,
    corner: 'of',
    columns: [{ key: 'value', words: 'value' }],
    groups: [
      {
        heading: null,
        rows: own.map((traced) => {
          const { quantity, unit } = traced.finding;
          const mark = unitMark(unit);
          const detail = detailOf(traced);
          return {
            heading: {
              key: traced.key,
              words: quantityHeading(quantity),
              ...(detail && { detail }),
              ...(mark && { unit: mark }),
            },
            cells: [findingCell(traced)],
          };
        }),
      },
    ],
  };
}

/** The papers that a finding's samples lie on. */
export function papersOf({ regions }: Bench, { finding: { subject } }: TracedFinding): string {
  const papers = regions.filter(({ region }) => subject.regions.includes(region.id)).map(({ paper }) => paper);
  return [...new Set(papers)].join('; ');
}
