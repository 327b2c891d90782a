/** What is said of the ink as a film: its absorption, its doses on each paper, how well one curve fits. */
import type { QuantityName } from '../../analysis/quantity.ts';
import type { FilmAnswer, FilmOfInk } from '../../electron/backend/filmAnswer.ts';

export const OF_FILM: readonly QuantityName[] = ['absorption', 'fitQuality', 'doseCurve'];

export function isOfFilm(quantity: QuantityName): boolean {
  return OF_FILM.includes(quantity);
}

/** The fit that tells of any of these regions, by standing on it or by lying on its curve. */
export function fitOf({ fits }: Pick<FilmAnswer, 'fits'>, regions: readonly string[]): FilmOfInk | undefined {
  return (
    fits.find((one) => regions.some((id) => one.regions.includes(id))) ??
    fits.find((one) => one.points.some(({ region }) => regions.includes(region)))
  );
}
