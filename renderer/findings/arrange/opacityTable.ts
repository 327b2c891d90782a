/** What lies under the ink and what it will look like elsewhere: a row a finding, pen by pen. */
import type { QuantityName } from '../../../analysis/quantity.ts';
import type { Bench } from './bench.ts';
import { papersOf, rowsTable } from './rowsTable.ts';
import type { FindingsTable } from './table.ts';

const OF_OPACITY: readonly QuantityName[] = [
  'film',
  'contrastRatio',
  'contrastRatio.predicted',
  'hiding.predicted',
  'predictedColour',
  'predictedColour.error',
];

/** Null: nothing of it was told. */
export function opacityTable(bench: Bench, rowWords: (region: string) => string | null): FindingsTable | null {
  const own = OF_OPACITY.flatMap((quantity) => bench.findings.filter(({ finding }) => finding.quantity === quantity));
  if (own.length === 0) return null;
  return rowsTable({ id: 'opacity', title: 'Opacity and other papers' }, own, (traced) => {
    const { regions, on } = traced.finding.subject;
    return [rowWords(regions[0]), on === undefined ? papersOf(bench, traced) : `on ${on}`].filter(Boolean).join(', ');
  });
}
