/** What is said of the ink as a film: its absorption, its doses on each paper, how well one curve fits. */
import { OF_FILM } from '../../film/ofFilm.ts';
import type { Bench } from './bench.ts';
import { papersOf, rowsTable } from './rowsTable.ts';
import type { FindingsTable } from './table.ts';

/** Null: no film was fitted. */
export function filmTable(bench: Bench): FindingsTable | null {
  const own = OF_FILM.flatMap((quantity) => bench.findings.filter(({ finding }) => finding.quantity === quantity));
  if (own.length === 0) return null;
  const fits = own.filter(({ finding }) => finding.quantity === 'absorption').length;
  // One fit needs no papers to be told from another; its dose curves do.
  return rowsTable({ id: 'film', title: 'The ink as a film' }, own, (traced) =>
    fits > 1 || traced.finding.quantity === 'doseCurve' ? papersOf(bench, traced) : '',
  );
}
