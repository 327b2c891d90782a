/** What lies under the ink and what it will look like elsewhere: a row a finding, pen by pen. */
import type { QuantityName } from '../../../analysis/quantity.ts';
import { unitMark } from '../../../analysis/report/titles.ts';
import type { TracedFinding } from '../../../electron/backend/api.ts';
import type { Bench } from './bench.ts';
import { quantityHeading } from './quantityHeadings.ts';
import { type FindingsTable, findingCell } from './table.ts';

const OF_OPACITY: readonly QuantityName[] = [
  'film',
  'contrastRatio',
  'contrastRatio.predicted',
  'predictedColour',
  'predictedColour.error',
];

/** Null: nothing of it was told. */
export function opacityTable(bench: Bench, rowWords: (region: string) => string | null): FindingsTable | null {
  const own = OF_OPACITY.flatMap((quantity) => bench.findings.filter(({ finding }) => finding.quantity === quantity));
  if (own.length === 0) return null;
  return {
    id: 'opacity',
    title: 'Opacity and other papers',
    corner: 'of',
    columns: [{ key: 'value', words: 'value' }],
    groups: [
      {
        heading: null,
        rows: own.map((traced) => {
          const { quantity, unit } = traced.finding;
          const mark = unitMark(unit);
          const detail = [rowWords(traced.finding.subject.regions[0]), placeOf(bench, traced)]
            .filter(Boolean)
            .join(', ');
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

function placeOf({ regions }: Bench, { finding: { subject } }: TracedFinding): string {
  if (subject.on !== undefined) return `on ${subject.on}`;
  const papers = regions.filter(({ region }) => subject.regions.includes(region.id)).map(({ paper }) => paper);
  return [...new Set(papers)].join('; ');
}
