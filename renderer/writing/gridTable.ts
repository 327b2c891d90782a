/** The grid as one table for a spreadsheet: a line a sample, a column a quantity. Pure. */
import { unitMark } from '../../analysis/report/titles.ts';
import { EMPTY, type FindingsTable, findingCell, type Heading, type Row } from '../findings/arrange/table.ts';
import { quantityHeading } from '../findings/arrange/quantityHeadings.ts';
import { CELL_NUMBERS, foundOf } from './cellWords.ts';
import type { NibGrid, NibSample } from './nibGrid.ts';

export function gridTable({ nibs, papers }: NibGrid): FindingsTable {
  const samples = papers.flatMap(({ paper, cells }) =>
    cells.flatMap((cell, i) => cell.samples.map((sample) => ({ paper, nib: nibs[i], sample }))),
  );
  const measured = CELL_NUMBERS.filter(({ quantity }) =>
    samples.some(({ sample }) => foundOf(sample, quantity) !== undefined),
  );
  const unitOf = ({ quantity }: (typeof measured)[number]): string => {
    const found = samples.flatMap(({ sample }) => foundOf(sample, quantity) ?? [])[0];
    return found ? unitMark(found.finding.unit) : '';
  };
  const columns = measured.map((column): Heading => {
    const unit = unitOf(column);
    return { key: column.quantity, words: quantityHeading(column.quantity), ...(unit && { unit }) };
  });
  const row = (sample: NibSample, nib: string, detail: string): Row => ({
    heading: { key: sample.region.id, words: nib, ...(detail && { detail }) },
    cells: measured.map(({ quantity }) => {
      const traced = foundOf(sample, quantity);
      return traced ? findingCell(traced) : EMPTY;
    }),
  });
  return {
    id: 'nib-grid',
    title: 'Nibs and papers',
    corner: 'nib',
    columns,
    groups: papers.map(({ paper }) => ({
      heading: { key: paper, words: paper },
      rows: samples
        .filter((s) => s.paper === paper)
        .map(({ sample, nib }) =>
          row(sample, nib.nib ?? sample.region.id, nib.widthMm === null ? '' : `${nib.widthMm} mm`),
        ),
    })),
  };
}
