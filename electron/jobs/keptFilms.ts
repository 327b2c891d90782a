/** An ink's film fits as they were last made, kept beside the findings that came of them. */
import { deserialize, serialize } from 'node:v8';
import { isTellable } from '../../analysis/measure/film/throughFilm.ts';
import type { FilmMeasure } from '../../analysis/measure/film/measureFilm.ts';
import type { Quantity, QuantityName } from '../../analysis/quantity.ts';
import { calledNow } from '../library/firstId.ts';
import type { Library } from '../library/library.ts';
import type { SavedFinding } from '../library/results.ts';
import { contentKey } from './contentKey.ts';
import { filmAsCalled } from './filmAsCalled.ts';
import type { ResultStore } from './rememberingRunner.ts';

export type KeptFilm = Omit<FilmMeasure, 'findings'>;

const OF_PEN: readonly QuantityName[] = [
  'contrastRatio.predicted',
  'hiding.predicted',
  'predictedColour',
  'predictedColour.error',
];
const INKS_OWN: readonly QuantityName[] = ['absorption', 'doseCurve', 'fitQuality', 'film', ...OF_PEN];

/** Of the ink or of one pen as a whole, and of no two regions held against each other. */
export function isInksOwn({ quantity }: Pick<Quantity, 'quantity'>): boolean {
  return INKS_OWN.includes(quantity);
}

/** Of all that one nib wrote, so that it hangs on nibs' names. */
export function isOfPen({ quantity }: Pick<Quantity, 'quantity'>): boolean {
  return OF_PEN.includes(quantity);
}

/** Small: curves and doses, no pixels. @param findings by first ids, as the films are */
export function rememberFilms(
  store: ResultStore,
  findings: readonly SavedFinding[],
  films: readonly FilmMeasure[],
): void {
  const kept = films.map(({ inks, missing }): KeptFilm => ({ inks, missing }));
  store.remember(nameOf(findings), 'film-of-ink', serialize(kept));
}

/** Null: what was last found is not one whole run, or it was thrown away since. */
export function recalledFilms(library: Library, ink: number): readonly KeptFilm[] | null {
  const bytes = library.recall(nameOf(library.findingsByFirstIds(ink)?.findings ?? []));
  const kept: KeptFilm[] | null = bytes && deserialize(bytes);
  const now = calledNow(library.document(ink).regions);
  return now && kept ? kept.map((film) => filmAsCalled(film, now)) : kept;
}

/** By what all samples were measured from. */
function nameOf(findings: readonly SavedFinding[]): string {
  const madeFrom = new Map<string, string>();
  for (const { finding, regionKeys } of findings) {
    if (isTellable(finding)) finding.subject.regions.forEach((id, i) => madeFrom.set(id, regionKeys[i]));
  }
  return `films:${contentKey([...madeFrom].toSorted(([a], [b]) => (a < b ? -1 : 1)))}`;
}
