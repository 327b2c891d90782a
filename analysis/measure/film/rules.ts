/** Which way a number is told: through the film where that is believed and surer, else through the target's map. All of it in this place. */
import { labMetric } from '../../calibrate/colourMetric.ts';
import type { LabD50 } from '../../colour/lab.ts';
import type { LabValue } from '../../quantity.ts';
import { DOUBTFUL_RATIO } from '../../film/judge.ts';
import type { InkFilm } from './inkFilm.ts';

/** A region whose signals lie further from the curve than this, in standard deviations (root mean square), is not told by it. */
export const MOST_AWAY = 2.5;

/** No larger a share of a region's pixels may lie off the curve as paper and ink in one pixel do (common practice, no source); more, and the region is no sample of the ink. */
export const MOST_MIXED = 0.34;

/** Null: the fit may tell colours; else why not. */
export function whyNotBelieved({ judgement }: Pick<InkFilm, 'judgement'>): Disbelief | null {
  if (!judgement.converged) return 'not-converged';
  if (judgement.targetDoubtful) return 'target-doubtful';
  return judgement.ratio > DOUBTFUL_RATIO ? 'not-believed' : null;
}
export type Disbelief = 'not-converged' | 'target-doubtful' | 'not-believed';

/**
 * By how much the film may be unsurer than the map. A colour is told by the film wherever that is believed: where the film is the unsurer of the two it is
 * still the nearer one, since the map knows of no ink that it sees badly (13 536 swabs by spectra of three papers, odd seeds 201–229 of study/scannersFilm.ts: where the
 * film's u is the larger, 1.7 / 4.3 ΔE00 in the median and at the 90th percentile against the map's 3.2 / 7.7; 5 760 with the target's Lab alone: 1.4 / 4.1 against 2.0 / 6.8).
 * Of one ink's differences the map's doubt is a rule of thumb by their size, which is short where papers differ.
 */
const UNSURER = { colour: Infinity, difference: 2 } as const;

/** @param film, map standard uncertainties of the same figure by either */
export function isSurer(film: number, map: number, of: keyof typeof UNSURER): boolean {
  return film < UNSURER[of] * map;
}

/** A colour's three standard uncertainties as one length in ΔE00. */
export function lengthOf(lab: LabD50, u: LabValue): number {
  const m = labMetric(lab);
  return Math.hypot(m[0] * u[0], m[4] * u[1], m[5] * u[2], m[7] * u[1], m[8] * u[2]);
}
