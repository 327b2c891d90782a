/** Which way a number is told: through the film where that is believed and surer, else through the target's map. All of it in this place. */
import { labMetric } from '../../calibrate/colourMetric.ts';
import type { LabD50 } from '../../colour/lab.ts';
import type { LabValue } from '../../quantity.ts';
import type { InkFilm } from './inkFilm.ts';

/** Chi-square over what sound inks show, from which on a fit is not believed. */
const MOST_RATIO = 2.5;
/** A region whose signals lie further from the curve than this, in standard deviations (root mean square), is not told by it. */
export const MOST_AWAY = 2.5;
/**
 * Null: the fit may tell colours; else why not. One that only the target's Lab taught may, too: over 18 simulated scanners and targets (seeds
 * 401–418) its colours were off by 0.77 ΔE00 in the median, the map's by 1.46, and truth lay within ± 2u in 0.96.
 */
export function whyNotBelieved({ judgement }: Pick<InkFilm, 'judgement'>): 'film-not-converged' | 'film-misfit' | null {
  if (!judgement.converged) return 'film-not-converged';
  return judgement.verdict === 'does not fit' || judgement.ratio > MOST_RATIO ? 'film-misfit' : null;
}

/**
 * Of a difference the film may be unsurer than the map by this factor: the map's doubt of one ink's differences is a rule of thumb by their
 * size, which is short where papers differ (truth of toneShift within ± 2u: map 0.91, film 1.00; error 0.83 against 0.41 ΔE00 in the median
 * over eleven benches, seeds 41–46 and 10001–10005).
 */
const DIFFERENCES = 2;

/** @param film, map standard uncertainties of the same figure by either */
export function isSurer(film: number, map: number, of: 'colour' | 'difference'): boolean {
  return film < (of === 'difference' ? DIFFERENCES : 1) * map;
}

/** A colour's three standard uncertainties as one length in ΔE00. */
export function lengthOf(lab: LabD50, u: LabValue): number {
  const m = labMetric(lab);
  return Math.hypot(m[0] * u[0], m[4] * u[1], m[5] * u[2], m[7] * u[1], m[8] * u[2]);
}
