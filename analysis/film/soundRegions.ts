/** The fit without regions that are no sample of the ink: overwritten, smeared, with sheen, or of another ink. */
import { fitFilm, type FilmFit, type FilmInput, type FilmOptions } from './fitFilm.ts';
import { MISFIT_LIMIT } from './judge.ts';
import type { Sensors } from './sensors.ts';

/** Below four doses a fit is no better than the target's map. */
export const FEWEST_DOSES = 4;
/** No more than this share is left out: if more does not fit, nothing tells which is the ink. */
const MOST_LEFT_OUT = 0.25;
/** Leaving a region out must take this share of chi-square with it. */
const LEAST_FALL = 0.4;

export interface SoundFit {
  readonly fit: FilmFit;
  /** Indices into the input's regions that the fit holds, in its order. */
  readonly used: readonly number[];
  /** Regions left out, in the order found, with the misfit (standard deviations, root mean square) that they had. */
  readonly leftOut: readonly { readonly region: number; readonly misfit: number }[];
}

export function fitSoundRegions(input: FilmInput, sensors: Sensors, options: FilmOptions = {}): SoundFit {
  let used = input.regions.map((_, i) => i);
  let fit = fitFilm(input, sensors, options);
  const leftOut: { region: number; misfit: number }[] = [];
  const most = Math.floor(MOST_LEFT_OUT * used.length);
  while (leftOut.length < most && used.length > FEWEST_DOSES) {
    const papers = input.papers.length;
    const worst = used.reduce(
      (far, _, i) => (fit.regionChiSquare[papers + i] > fit.regionChiSquare[papers + far] ? i : far),
      0,
    );
    const misfit = Math.sqrt(fit.regionChiSquare[papers + worst] / 3);
    if (misfit <= MISFIT_LIMIT) break;
    const rest = used.filter((_, i) => i !== worst);
    const without = fitFilm({ ...input, regions: rest.map((i) => input.regions[i]) }, sensors, options);
    if (without.chiSquare > (1 - LEAST_FALL) * fit.chiSquare) break;
    leftOut.push({ region: used[worst], misfit });
    used = rest;
    fit = without;
  }
  return { fit, used, leftOut };
}
