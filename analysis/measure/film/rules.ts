/** Which way a number is told: through the film where that is believed and surer, else through the target's map. All of it in this place. */
import { labMetric } from '../../calibrate/colourMetric.ts';
import type { LabD50 } from '../../colour/lab.ts';
import type { LabValue } from '../../quantity.ts';
import { DOUBTFUL_RATIO } from '../../film/judge.ts';
import type { InkFilm } from './inkFilm.ts';

/** A region whose signals lie further from the curve than this, in standard deviations (root mean square), is not told by it. */
export const MOST_AWAY = 2.5;

/** Null: the fit may tell colours; else why not. */
export function whyNotBelieved({ judgement }: Pick<InkFilm, 'judgement'>): Disbelief | null {
  if (!judgement.converged) return 'not-converged';
  if (judgement.targetDoubtful) return 'target-doubtful';
  return judgement.ratio > DOUBTFUL_RATIO ? 'not-believed' : null;
}
export type Disbelief = 'not-converged' | 'target-doubtful' | 'not-believed';

/**
 * Of a difference the film may be unsurer than the map by this factor: the map's doubt of one ink's differences is a rule of thumb by their size, which is
 * short where papers differ. Of a colour it must be the surer one: over 24 rendered benches (seeds 41–46, 51–53, 10001–10006, 10011–10015, 10021–10024)
 * the 90th percentile is 2.24 ΔE00 so, and 2.48 with twice the map's u allowed.
 */
const UNSURER = { colour: 1, difference: 2 } as const;

/** @param film, map standard uncertainties of the same figure by either */
export function isSurer(film: number, map: number, of: keyof typeof UNSURER): boolean {
  return film < UNSURER[of] * map;
}

/** A colour's three standard uncertainties as one length in ΔE00. */
export function lengthOf(lab: LabD50, u: LabValue): number {
  const m = labMetric(lab);
  return Math.hypot(m[0] * u[0], m[4] * u[1], m[5] * u[2], m[7] * u[1], m[8] * u[2]);
}
