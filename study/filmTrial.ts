/** One ink on one bench: how far off its colours are by the target's map and by the film fit. */
import { predictColour } from '../analysis/calibrate/colourFit.ts';
import { deltaE2000 } from '../analysis/colour/deltaE.ts';
import { xyzToLab, type LabD50 } from '../analysis/colour/lab.ts';
import { straightened } from '../analysis/film/bend.ts';
import { filmColour } from '../analysis/film/filmColour.ts';
import { fitFilm, type FilmFit } from '../analysis/film/fitFilm.ts';
import type { InkPrior } from '../analysis/film/inkPrior.ts';
import type { Sensors } from '../analysis/film/sensors.ts';
import type { FilmWorld } from './filmWorlds.ts';
import { inkOnPaper, type SimulatedInk, type Spectrum } from './simulatedColours.ts';
import { xyzOf } from './spectra.ts';

export interface Way {
  /** ΔE00 of every region's colour. */
  readonly errors: readonly number[];
  /** Error of ΔE00 between the palest and the densest dose of the first paper; between papers at like doses. */
  readonly shading: number;
  /** Error of the difference of L* between those two: shading.dL. */
  readonly shadingL: number;
  readonly toneShift: number;
  /** Share of components within ± 2u; null for the map. */
  readonly covered: number | null;
  readonly paper: number;
  readonly fit: FilmFit | null;
  /** Of processor. */
  readonly ms: number;
}

/** One sample of an ink. */
export interface Place {
  /** Index of its paper. */
  readonly p: number;
  readonly r: Float64Array;
}

interface TrialOptions {
  readonly noise?: number;
  readonly starts?: number;
  readonly iterations?: number;
}

/** @param doses a paper's, rising */
export function trial(
  world: FilmWorld,
  sensors: Sensors,
  ink: SimulatedInk,
  papers: readonly Spectrum[],
  doses: readonly (readonly number[])[],
  prior: InkPrior,
  options: TrialOptions = {},
): Trial {
  const places = papers.flatMap((paper, p) => doses[p].map((dose): Place => ({ p, r: inkOnPaper(ink, dose, paper) })));
  return trialOf(world, sensors, papers, places, prior, options);
}

export interface Trial {
  readonly map: Way;
  readonly film: Way;
  /** True difference of L* over the first paper's samples. */
  readonly spanL: number;
}

/** @param places paper by paper, each from its palest sample to its densest */
export function trialOf(
  world: FilmWorld,
  sensors: Sensors,
  papers: readonly Spectrum[],
  places: readonly Place[],
  prior: InkPrior,
  options: TrialOptions = {},
): Trial {
  const truths = places.map(({ r }) => xyzToLab(xyzOf(r)));
  const signals = places.map(({ r }) => world.signal(r));
  const bare = papers.map((paper) => world.signal(paper));
  const { model, ridge, matrix } = world.calibration;
  const mapped = signals.map((s) => xyzToLab(predictColour({ model, ridge, matrix }, s)));
  const began = process.cpuUsage();
  const fit = fitFilm(
    {
      papers: bare.map((signal) => ({ signal: straightened(signal, sensors.bends) })),
      regions: places.map(({ p }, i) => ({ id: `r${i}`, paper: p, signal: straightened(signals[i], sensors.bends) })),
    },
    sensors,
    { prior, ...options },
  );
  const { user, system } = process.cpuUsage(began);
  const ms = (user + system) / 1000;
  const fitted = places.map((_, i) => filmColour(fit, papers.length + i));
  const within = fitted.map(
    ({ lab, u }, i) => [0, 1, 2].filter((k) => Math.abs(lab[k] - truths[i][k]) <= 2 * u[k]).length / 3,
  );
  const paperTruth = xyzToLab(xyzOf(papers[0]));
  const way = (labs: readonly LabD50[], paper: LabD50): Omit<Way, 'covered' | 'fit' | 'ms'> => {
    const first = places.map(({ p }, i) => (p === 0 ? i : -1)).filter((i) => i >= 0);
    const [pale, dense] = [first[0], first[first.length - 1]];
    const other = places.findIndex(({ p }) => p === 1);
    return {
      errors: labs.map((lab, i) => deltaE2000(lab, truths[i])),
      shading: Math.abs(deltaE2000(labs[pale], labs[dense]) - deltaE2000(truths[pale], truths[dense])),
      shadingL: Math.abs(labs[pale][0] - labs[dense][0] - (truths[pale][0] - truths[dense][0])),
      toneShift:
        other < 0
          ? 0
          : Math.abs(deltaE2000(labs[first[2]], labs[other + 2]) - deltaE2000(truths[first[2]], truths[other + 2])),
      paper: deltaE2000(paper, paperTruth),
    };
  };
  const own = truths.filter((_, i) => places[i].p === 0).map(([L]) => L);
  return {
    spanL: Math.max(...own) - Math.min(...own),
    map: {
      ...way(mapped, xyzToLab(predictColour({ model, ridge, matrix }, bare[0]))),
      covered: null,
      fit: null,
      ms: 0,
    },
    film: {
      ...way(
        fitted.map(({ lab }) => lab),
        filmColour(fit, 0).lab,
      ),
      covered: within.reduce((a, b) => a + b, 0) / within.length,
      fit,
      ms,
    },
  };
}
