/** Backs of pages: what shows through and what came through, a row a region. */
import { unitMark } from '../../../analysis/report/titles.ts';
import type { QuantityName, Unit } from '../../../analysis/quantity.ts';
import { type Bench, type BenchRegion, findingOf } from './bench.ts';
import { quantityHeading } from './quantityHeadings.ts';
import { type Cell, EMPTY, type FindingsTable, findingCell } from './table.ts';

const OF_REVERSE: readonly (readonly [QuantityName, Unit])[] = [
  ['ghosting', 'ΔL*'],
  ['ghosting.printThrough', '1'],
  ['bleedThrough', '%'],
  ['bleedThrough.dots', 'dots'],
  ['bleedThrough.area', 'mm²'],
  ['bleedThrough.next', 'dots'],
  ['bleedThrough.nextArea', 'mm²'],
];

/** Null: no reverse is marked. */
export function reverseTable(bench: Bench): FindingsTable | null {
  const reverses = bench.regions.filter(({ region }) => region.kind === 'reverse');
  if (reverses.length === 0) return null;
  return {
    id: 'reverses',
    title: 'Back of the page',
    corner: 'reverse',
    columns: OF_REVERSE.map(([quantity, unit]) => {
      const mark = unitMark(unit);
      return { key: quantity, words: quantityHeading(quantity), ...(mark && { unit: mark }) };
    }),
    groups: [
      {
        heading: null,
        rows: reverses.map((reverse) => ({
          heading: { key: reverse.region.id, words: reverse.region.id, detail: behindWords(reverse) },
          cells: OF_REVERSE.map(([quantity], i) => cellOf(bench, reverse, quantity, i === 0)),
        })),
      },
    ],
  };
}

function behindWords({ region, paper }: BenchRegion): string {
  return region.kind === 'reverse' && region.of !== undefined ? `behind ${region.of}, ${paper}` : paper;
}

/** Why nothing is there is said once a row. */
function cellOf(bench: Bench, { region, missing }: BenchRegion, quantity: QuantityName, first: boolean): Cell {
  const traced = findingOf(bench, quantity, [region.id]);
  if (traced) return findingCell(traced);
  return missing !== '' && first ? { is: 'missing', region: region.id, words: missing } : EMPTY;
}
