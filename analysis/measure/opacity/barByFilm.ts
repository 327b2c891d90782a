/**
 * Ink over a printed bar, read through the ink's fitted film. In the dark a target's map knows least, and of a dense ink both luminances are small; what the
 * film's doses tell of the ink, and what its signals over paper and over print share, tell their ratio better (docs/study/opacity.md). Each way tells both sides
 * of its own ratio; where they differ, they err for reasons of their own, and their surest mean is the nearest. In that the map is given the signals as the
 * sensors straightened them: curves drawn through greys of mixed dyes hold stray light that is none, and make dark ratios too large.
 */
import type { Calibration } from '../../calibrate/calibration.ts';
import { predictColour } from '../../calibrate/colourFit.ts';
import { labD50, labToXyz } from '../../colour/lab.ts';
import { straightened } from '../../film/bend.ts';
import { filmColour, spread, widening } from '../../film/filmColour.ts';
import { fitFilm, type FilmFit } from '../../film/fitFilm.ts';
import { MISFIT_LIMIT } from '../../film/judge.ts';
import type { Sensors } from '../../film/sensors.ts';
import type { Flag, Quantity } from '../../quantity.ts';
import type { InkFilm } from '../film/inkFilm.ts';
import { isSurer } from '../film/rules.ts';
import type { FilmPaper } from '../film/series.ts';
import { combine } from '../uncertainty.ts';
import type { BarSignals } from './measuredBar.ts';

export const BAR_FILM_METHODS = { contrastRatio: 'contrastRatio-film/6' } as const;

/** A bar under the target that taught the film. */
export interface FilmBar {
  readonly region: string;
  readonly signals: BarSignals;
}

const ITERATIONS = 40;
/**
 * What the target's dark end leaves open of a ratio of straightened signals, over what it leaves of the plain map's: its other patches straighten the curve. So small
 * that errors of 75 pages before targets without a dark grey are 0.4 (fit) and 0.7 (map) of u (root mean squares; seeds 100–339, 400–499).
 */
const DARK_SHARE = 0.3;
/** Both ways read the same dark signals. A choice near what seeds 101–151 show. */
const SHARED = 0.5;
/** Of the ratio, what is left where the fit knows all. */
const LEAST = 0.01;
/**
 * Of the ratio beside that, as far as a pigment's scatter makes it: bright ones scatter where they hardly absorb, and three channels say little of the spectrum there.
 * Fits of 22 such were off by 2.5 %, of 40 dark ones by 1.5, which their covariance knows (seeds 100–339).
 */
const SCATTER = { share: 0.03, brightY: 0.5 } as const;

/** What a bar is read with. */
export interface BarReading {
  readonly film: InkFilm;
  /** Of the input that the film indexes. */
  readonly papers: readonly FilmPaper[];
  readonly sensors: Sensors;
  readonly map: Pick<Calibration, 'model' | 'ridge' | 'matrix'>;
  readonly flags: readonly Flag[];
}

/** @returns a bar's contrast ratio through the film, the map's beside it; null: no such bar, or the map is surer. */
export function barTeller(reading: BarReading, bars: readonly FilmBar[]): (finding: Quantity) => Quantity | null {
  return (finding) => {
    const { quantity, subject, value, u, uParts, flags, method } = finding;
    if (quantity !== 'contrastRatio' || typeof value !== 'number' || typeof u !== 'number' || !uParts) return null;
    const signals = bars.find(({ region }) => region === subject.regions[0])?.signals;
    const told = signals && contrastByFilm(reading, signals);
    const { repeatability, calibration, placement } = uParts;
    if (!told || typeof repeatability !== 'number' || typeof calibration !== 'number' || typeof placement !== 'number')
      return null;
    const dark = DARK_SHARE * signals.uDark;
    const fitted = { value: told.value, u: Math.hypot(told.u, dark) };
    if (!isSurer(Math.hypot(repeatability, fitted.u, placement), u, 'difference')) return null;
    const colours = Math.sqrt(Math.max(0, calibration ** 2 - signals.uDark ** 2));
    const both = weighed(fitted, { value: contrastByMap(reading, signals), u: Math.hypot(colours, dark) });
    return {
      ...finding,
      value: both.value,
      ...combine(repeatability, both.u, placement),
      flags: [...new Set([...flags, ...reading.flags])],
      method: BAR_FILM_METHODS.contrastRatio,
      byMap: { value, u, method },
    };
  };
}

interface Ratio {
  readonly value: number;
  readonly u: number;
}

/** The mean of least variance of two that share a part of their errors; where the unsurer of them would count against itself, the other alone. */
export function weighed(a: Ratio, b: Ratio): Ratio {
  const shared = SHARED * a.u * b.u;
  const own = Math.min(1, Math.max(0, (b.u * b.u - shared) / (a.u * a.u + b.u * b.u - 2 * shared)));
  const [ua, ub] = [own * a.u, (1 - own) * b.u];
  return { value: own * a.value + (1 - own) * b.value, u: Math.sqrt(ua * ua + ub * ub + 2 * SHARED * ua * ub) };
}

function contrastByMap({ map, sensors }: BarReading, { onPaper, onPrint }: BarSignals): number {
  const [white, black] = [onPaper, onPrint].map((signal) => predictColour(map, straightened(signal, sensors.bends))[1]);
  return black / Math.max(1e-4, white);
}

/** Paper and print join the film's papers as two grounds more, with a dose of their own each. Null: they do not lie on the ink's curve. */
function contrastByFilm(
  { film: { doses, papers: on }, papers, sensors }: BarReading,
  { paper, print, onPaper, onPrint }: BarSignals,
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
  const own = { paper: grounds, print: grounds + 1, onPaper: inks, onPrint: inks + 1 };
  if (!fit.converged || Object.values(own).some((i) => Math.sqrt(fit.regionChiSquare[i] / 3) > MISFIT_LIMIT))
    return null;
  return ratioOf(fit, own);
}

/** @param at index of `fit.regions` */
function ratioOf(fit: FilmFit, at: Readonly<Record<keyof Omit<BarSignals, 'uDark'>, number>>): Ratio {
  const [white, black] = [filmColour(fit, at.onPaper), filmColour(fit, at.onPrint)];
  const yOf = (index: number): number => luminance(filmColour(fit, index).lab[0]);
  const yWhite = luminance(white.lab[0]);
  const value = luminance(black.lab[0]) / yWhite;
  const [byBlack, byWhite] = [relativeSlope(black.lab[0]), relativeSlope(white.lab[0])];
  const size = white.slopes.length / 3;
  const row = Float64Array.from({ length: size }, (_, j) => byBlack * black.slopes[j] - byWhite * white.slopes[j]);
  const scattered = fit.pigmented ? Math.max(0, 1 - yOf(at.print) / yOf(at.paper) / value) : 0;
  const byScatter = SCATTER.share * scattered * Math.min(1, yWhite / SCATTER.brightY);
  return { value, u: value * Math.hypot(LEAST, byScatter, widening(fit) * Math.sqrt(spread(fit, row))) };
}

function luminance(L: number): number {
  return labToXyz(labD50(L, 0, 0))[1];
}

/** ∂ ln Y/∂L*. */
function relativeSlope(L: number): number {
  const step = 0.01;
  return Math.log(luminance(L + step) / luminance(L - step)) / (2 * step);
}
