/**
 * Whether a film fit may be believed. What a caller needs of analysis/film, in the order of use:
 *
 * - a patch's measured spectrum on the grid (grid.ts `onGrid`), no doubt, or `spectrumFromLab` (patchSpectra.ts) → `estimateSensors` (sensors.ts), once
 *   a target: with Lab alone it finds out itself whether three dyes in tone or in dots, or five inks and a black, made the target;
 * - `straightened` (bend.ts): every signal of the scan, bare paper too, before anything else is done with it;
 * - `fitFilm` (fitFilm.ts), again without what is no sample of the ink (measure/film/inkFilm.ts);
 * - `judgeFit` (here); `filmColour`, `differenceDoubt` (filmColour.ts); `doseCurve`, `nearestDose` (doseCurve.ts);
 *   `absorptionOf`, `fittedDoses` (absorption.ts).
 */
import type { LabD50 } from '../colour/lab.ts';
import { looksBrightened } from './brightened.ts';
import type { FilmFit } from './fitFilm.ts';
import { longSideNm, NARROW_NM } from './narrow.ts';

export type Verdict = 'fits' | 'doubtful' | 'does not fit';

export interface Misfit {
  /** Index into the regions of the fit's input; −1 − paper for a bare paper. */
  readonly region: number;
  /** Root mean square of its three signals' misfit, in standard deviations. */
  readonly misfit: number;
  /** Paler in all channels than the ink can be there, darker in all, or of another hue. */
  readonly how: 'paler' | 'darker' | 'another hue';
}

export interface FitJudgement {
  /** Chi-square over what sound inks have: about 1. */
  readonly ratio: number;
  readonly verdict: Verdict;
  /** Regions off the ink's own curve, most first. */
  readonly misfits: readonly Misfit[];
  /** A band so steep on its long-wave side that fits of such inks are surer of themselves than they are right; u is doubled for it (filmColour.ts). */
  readonly narrow: boolean;
  /** Papers that the target's map sees bluer than an unbrightened sheet would be: their colour and what lies on them is off by what the lamp excites less. */
  readonly brightened: readonly number[];
  readonly converged: boolean;
  /** The target's own patches do not bear out its spectra: another target's reference, a fault of the scan, or a device unlike any. */
  readonly targetDoubtful: boolean;
}

/**
 * Signals have less noise than the whole that they are judged by (signalNoise.ts), so chi-square per signal is small: over 96 fits of sound inks on
 * three papers, seeds 100–123, median 0.056, 95th percentile 0.13, 99th 0.20.
 */
const EXPECTED_PER_SIGNAL = 0.055;
/** From these ratios on: 0.3 and 1 of chi-square per signal. A small chi-square proves nothing; a large one is a fault. */
export const DOUBTFUL_RATIO = 5.5;
const WRONG = 18;
/** Root mean square of a region's misfit, in standard deviations: the worst region of a sound ink reaches 0.8 in one fit of twenty, 1.0 in one of a hundred. */
export const MISFIT_LIMIT = 1.4;
/** b* by the target's map below which an undyed sheet is brightened; what lies on it is told sooner than the sheet itself. */
const BRIGHTENED_B = -1.5;

/** Share of a signal that a target of known spectra may leave unexplained; sound ones leave up to 0.006 (seeds 400–417 and 500–517). */
const MOST_UNEXPLAINED = 0.01;

/** @param papers each bare paper's Lab by the target's map, in the fit's order */
export function judgeFit(fit: FilmFit, papers: readonly LabD50[] = []): FitJudgement {
  const { sensors, converged } = fit;
  const ratio = fit.chiSquare / (EXPECTED_PER_SIGNAL * fit.signals);
  const misfits = misfitsOf(fit);
  const targetDoubtful = sensors.taughtBy === 'spectra' && sensors.noise[1] > MOST_UNEXPLAINED;
  const doubtful = ratio > DOUBTFUL_RATIO || misfits.length > 0 || !converged || targetDoubtful;
  return {
    ratio,
    verdict: ratio > WRONG ? 'does not fit' : doubtful ? 'doubtful' : 'fits',
    misfits,
    narrow: longSideNm(fit.state.ink.k) < NARROW_NM,
    brightened: papers.flatMap((lab, paper) => (looksBrightened(lab, BRIGHTENED_B) ? [paper] : [])),
    converged,
    targetDoubtful,
  };
}

function misfitsOf(fit: FilmFit): Misfit[] {
  return fit.regions
    .map((region, i): Misfit => {
      const [r, g, b] = fit.misfits[i];
      return {
        region: region.dose ?? -1 - region.paper,
        misfit: Math.sqrt(fit.regionChiSquare[i] / 3),
        how: r > 0 && g > 0 && b > 0 ? 'paler' : r < 0 && g < 0 && b < 0 ? 'darker' : 'another hue',
      };
    })
    .filter(({ misfit }) => misfit > MISFIT_LIMIT)
    .sort((a, b) => b.misfit - a.misfit);
}
