/** Which way a number is told: through the film where that is believed and surer, else through the target's map. All of it in this place. */
import { labMetric } from '../../calibrate/colourMetric.ts';
import type { LabD50 } from '../../colour/lab.ts';
import type { Flag, LabValue } from '../../quantity.ts';
import type { InkFilm } from './inkFilm.ts';
import type { TaughtSensors } from './targetPatches.ts';

/** Chi-square over what sound inks show, from which on a fit is not believed. */
const MOST_RATIO = 2.5;
/** A region whose signals lie further from the curve than this, in standard deviations (root mean square), is not told by it. */
export const MOST_AWAY = 2.5;
/**
 * With the target's Lab alone the fit gains little and is too sure of itself (docs/study/film.md: truth within ± 2u in 0.79 to 0.90), so it is
 * shown beside the map and does not take its place.
 */
const LAB_ALONE_IS_ENOUGH = false;

/** Null: the fit may tell colours; else why not. */
export function whyNotBelieved({ judgement }: InkFilm, by: TaughtSensors['by']): Flag | null {
  if (!judgement.converged) return 'film-not-converged';
  if (judgement.verdict === 'does not fit' || judgement.ratio > MOST_RATIO) return 'film-misfit';
  return by === 'lab' && !LAB_ALONE_IS_ENOUGH ? 'lab-alone' : null;
}

/** @param film, map standard uncertainties of the same figure by either */
export function isSurer(film: number, map: number): boolean {
  return film < map;
}

/** A colour's three standard uncertainties as one length in ΔE00. */
export function lengthOf(lab: LabD50, u: LabValue): number {
  const m = labMetric(lab);
  return Math.hypot(m[0] * u[0], m[4] * u[1], m[5] * u[2], m[7] * u[1], m[8] * u[2]);
}
