/**
 * Ink over a printed bar, read through the ink's fitted film. In the dark a target's map knows least, and of a dense ink both luminances are small; what the
 * film's doses tell of the ink, and what its signals over paper and over print share, tell their ratio better (docs/study/opacity.md). Each way tells both sides
 * of its own ratio; where they differ, they err for reasons of their own, and the mean of the two ratios, each by its sureness, is the nearest.
 */
import { labD50, labToXyz } from '../../colour/lab.ts';
import { straightened } from '../../film/bend.ts';
import { type FilmColour, filmColour, spread, widening } from '../../film/filmColour.ts';
import { fitFilm, type FilmFit } from '../../film/fitFilm.ts';
import { MISFIT_LIMIT } from '../../film/judge.ts';
import type { Sensors } from '../../film/sensors.ts';
import type { Flag, Quantity } from '../../quantity.ts';
import type { InkFilm } from '../film/inkFilm.ts';
import { isSurer } from '../film/rules.ts';
import type { FilmPaper } from '../film/series.ts';
import { combine } from '../uncertainty.ts';
import type { BarSignals } from './measuredBar.ts';

export const BAR_FILM_METHODS = { contrastRatio: 'contrastRatio-film/3' } as const;

/** A bar under the target that taught the film. */
export interface FilmBar {
  readonly region: string;
  readonly signals: BarSignals;
}

const ITERATIONS = 40;
/** What the target's dark end leaves open of a fitted ratio, over what it leaves of the map's: its other patches straighten the curve by a third (14 targets in dots of seeds 103–223). */
const DARK_SHARE = 0.6;
/** Both ways read the same dark signals. A choice near what seeds 101–151 show. */
const SHARED = 0.5;
/** Of the ratio, what is left where the fit knows all. */
const LEAST = 0.01;

/** @returns a bar's contrast ratio through the film, the map's beside it; null: no such bar, or the map is surer. */
export function barTeller(
  film: InkFilm,
  bars: readonly FilmBar[],
  papers: readonly FilmPaper[],
  sensors: Sensors,
  filmFlags: readonly Flag[],
): (finding: Quantity) => Quantity | null {
  return (finding) => {
    const { quantity, subject, value, u, uParts, flags, method } = finding;
    if (quantity !== 'contrastRatio' || typeof value !== 'number' || typeof u !== 'number' || !uParts) return null;
    const bar = bars.find(({ region }) => region === subject.regions[0]);
    const told = bar && contrastByFilm(film, bar.signals, papers, sensors);
    const { repeatability, calibration, placement } = uParts;
    if (!told || typeof repeatability !== 'number' || typeof calibration !== 'number' || typeof placement !== 'number')
      return null;
    const fitted = { value: told.value, u: Math.hypot(told.u, DARK_SHARE * bar.signals.uDark) };
    if (!isSurer(Math.hypot(repeatability, fitted.u, placement), u, 'difference')) return null;
    const both = weighed(fitted, { value, u: calibration });
    return {
      ...finding,
      value: both.value,
      ...combine(repeatability, both.u, placement),
      flags: [...new Set([...flags, ...filmFlags])],
      method: BAR_FILM_METHODS.contrastRatio,
      byMap: { value, u, method },
    };
  };
}

interface Ratio {
  readonly value: number;
  readonly u: number;
}

function weighed(a: Ratio, b: Ratio): Ratio {
  const all = a.u ** -2 + b.u ** -2;
  const [own, other] = [a.u ** -2 / all, b.u ** -2 / all];
  const [ua, ub] = [own * a.u, other * b.u];
  return { value: own * a.value + other * b.value, u: Math.sqrt(ua * ua + ub * ub + 2 * SHARED * ua * ub) };
}

/** Paper and print join the film's papers as two grounds more, with a dose of their own each. Null: they do not lie on the ink's curve. */
function contrastByFilm(
  { doses, papers: on }: InkFilm,
  { paper, print, onPaper, onPrint }: BarSignals,
  papers: readonly FilmPaper[],
  sensors: Sensors,
): Ratio | null {
  const straight = (signal: BarSignals['paper']) => straightened(signal, sensors.bends);
  const grounds = on.length;
  const fit = fitFilm(
    {
      papers: [...on.map((one) => papers[one].bare.signal), paper, print].map((signal) => ({
        signal: straight(signal),
      })),
      regions: [
        ...doses.map(({ signal, paper: own }, i) => ({ id: `${i}`, paper: on.indexOf(own), signal: straight(signal) })),
        { id: 'over paper', paper: grounds, signal: straight(onPaper) },
        { id: 'over print', paper: grounds + 1, signal: straight(onPrint) },
      ],
    },
    sensors,
    { iterations: ITERATIONS },
  );
  const inks = grounds + 2 + doses.length;
  const own = [grounds, grounds + 1, inks, inks + 1];
  if (!fit.converged || own.some((i) => Math.sqrt(fit.regionChiSquare[i] / 3) > MISFIT_LIMIT)) return null;
  return ratioOf(fit, filmColour(fit, inks + 1), filmColour(fit, inks));
}

function ratioOf(fit: FilmFit, black: FilmColour, white: FilmColour): Ratio {
  const value = luminance(black.lab[0]) / luminance(white.lab[0]);
  const [byBlack, byWhite] = [relativeSlope(black.lab[0]), relativeSlope(white.lab[0])];
  const size = white.slopes.length / 3;
  const row = Float64Array.from({ length: size }, (_, j) => byBlack * black.slopes[j] - byWhite * white.slopes[j]);
  return { value, u: value * Math.hypot(LEAST, widening(fit) * Math.sqrt(spread(fit, row))) };
}

function luminance(L: number): number {
  return labToXyz(labD50(L, 0, 0))[1];
}

/** ∂ ln Y/∂L*. */
function relativeSlope(L: number): number {
  const step = 0.01;
  return Math.log(luminance(L + step) / luminance(L - step)) / (2 * step);
}
