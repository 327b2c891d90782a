/** What is said of the ink as a film: its absorption, its doses on each paper, how well one curve fits. */
import type { QuantityName } from '../../analysis/quantity.ts';

export const OF_FILM: readonly QuantityName[] = ['absorption', 'fitQuality', 'doseCurve'];

export function isOfFilm(quantity: QuantityName): boolean {
  return OF_FILM.includes(quantity);
}
