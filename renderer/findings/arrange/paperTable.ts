/** Papers: the colour and the texture of every bare-paper region. */
import type { QuantityName } from '../../../analysis/quantity.ts';
import { type Bench, type BenchRegion, findingOf } from './bench.ts';
import { unitMark } from '../../../analysis/report/titles.ts';
import { quantityHeading } from './quantityHeadings.ts';
import { type Cell, EMPTY, type FindingsTable, findingCell } from './table.ts';

const OF_PAPER: readonly QuantityName[] = ['paperColour', 'paperTexture'];

/** Null: no bare paper is marked. */
export function paperTable(bench: Bench): FindingsTable | null {
  const papers = bench.regions.filter(({ region }) => region.kind === 'paper');
  if (papers.length === 0) return null;
  return {
    id: 'papers',
    title: 'Bare paper',
    corner: 'paper',
    columns: OF_PAPER.map((quantity) => {
      const unit = unitMark(quantity === 'paperTexture' ? 'ΔL*' : 'Lab');
      return { key: quantity, words: quantityHeading(quantity), ...(unit && { unit }) };
    }),
    groups: [
      {
        heading: null,
        rows: papers.map((paper) => {
          const again = papers.filter((other) => other.paper === paper.paper).length > 1;
          return {
            heading: { key: paper.region.id, words: paper.paper, ...(again && { detail: paper.region.id }) },
            cells: OF_PAPER.map((quantity, i) => cellOf(bench, paper, quantity, i === 0)),
          };
        }),
      },
    ],
  };
}

/** Why nothing is there is said once a row. */
function cellOf(bench: Bench, { region, missing }: BenchRegion, quantity: QuantityName, first: boolean): Cell {
  const traced = findingOf(bench, quantity, [region.id]);
  if (traced) return findingCell(traced);
  return missing !== '' && first ? { is: 'missing', region: region.id, words: missing } : EMPTY;
}
