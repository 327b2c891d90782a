/** Which way the colour behind a finding was got, in words. */
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { figureText } from '../../analysis/report/titles.ts';
import { fixed } from '../../analysis/report/valueText.ts';
import type { FilmAnswer } from '../../electron/backend/filmAnswer.ts';
import { fitOf } from '../film/ofFilm.ts';
import { wayOf } from '../film/byWay.ts';

export interface ToldWords {
  readonly sentence: string;
  /** What would make it surer, one line each. */
  readonly advice: readonly string[];
}

/** Null: no colour of ink is behind it. */
export function sentenceOfWay(shown: Quantity, film: FilmAnswer): ToldWords | null {
  const way = wayOf(shown);
  const { regions } = shown.subject;
  if (way === null || shown.flags.includes('uncalibrated')) return null;
  const fit = fitOf(film, regions);
  if (way === 'film') {
    const from = fit ? ` of ${fit.points.length} doses on ${papersWords(fit.curves.length)}` : '';
    const taught = fit?.taughtBy === 'lab' ? ', with the target’s Lab alone' : '';
    return { sentence: `Got by the film fit${from}${taught}.`, advice: fit?.advice ? [fit.advice] : [] };
  }
  const missing = film.missing.filter((one) => one.regions.some((id) => regions.includes(id)));
  return { sentence: 'Got by the target’s map.', advice: missing.map(({ words }) => words) };
}

function papersWords(count: number): string {
  return count === 1 ? 'one paper' : `${count} papers`;
}

export interface OtherWay {
  readonly title: string;
  readonly text: string;
}

/** What the way that is not shown says; null: there is no other. */
export function otherWay(shown: Quantity, measured: Quantity): OtherWay | null {
  const { byMap } = measured;
  if (byMap === undefined) return null;
  const byFilm = wayOf(shown) === 'film';
  const other = byFilm ? byMap : measured;
  const figure = figureText({ ...other, unit: measured.unit }) || 'cannot be told';
  return {
    title: byFilm ? 'What the target’s map says' : 'What the film fit says',
    text: `By ${byFilm ? 'the map' : 'the film fit'}: ${figure}.${apartWords(measured.value, byMap.value)}`,
  };
}

/** How far the two ways lie apart: a check of one by the other, no finding. */
function apartWords(film: Quantity['value'], map: Quantity['value']): string {
  if (film === null || map === null || typeof film === 'number' || typeof map === 'number') return '';
  return ` The two ways lie ${fixed(deltaE2000(labD50(...film), labD50(...map)), 1)} ΔE00 apart.`;
}
