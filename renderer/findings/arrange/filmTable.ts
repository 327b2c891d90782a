/** What is said of the ink as a film: its absorption, its doses on each paper, how well one curve fits. */
import type { TracedFinding } from '../../../electron/backend/api.ts';
import { unitMark } from '../../../analysis/report/titles.ts';
import { OF_FILM } from '../../film/ofFilm.ts';
import type { Bench } from './bench.ts';
import { quantityHeading } from './quantityHeadings.ts';
import { type FindingsTable, findingCell } from './table.ts';

/** Null: no film was fitted. */
export function filmTable(bench: Bench): FindingsTable | null {
  const own = OF_FILM.flatMap((quantity) => bench.findings.filter(({ finding }) => finding.quantity === quantity));
  if (own.length === 0) return null;
  const fits = own.filter(({ finding }) => finding.quantity === 'absorption').length;
  return {
    id: 'film',
    title: 'The ink as a film',
    corner: 'of',
    columns: [{ key: 'value', words: 'value' }],
    groups: [
      {
        heading: null,
        rows: own.map((traced) => {
          const { quantity, unit } = traced.finding;
          const mark = unitMark(unit);
          // One fit needs no papers to be told from another; its dose curves do.
          const detail = fits > 1 || quantity === 'doseCurve' ? papersOf(bench, traced) : '';
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

function papersOf({ regions }: Bench, { finding: { subject } }: TracedFinding): string {
  const papers = regions.filter(({ region }) => subject.regions.includes(region.id)).map(({ paper }) => paper);
  return [...new Set(papers)].join('; ');
}
