/** The swabs of a world (swabWorlds.ts) through the film fit, by spectra alone: what the map and the film tell of the same signals. */
import type { Calibration } from '../analysis/calibrate/calibration.ts';
import { linearSignals } from '../analysis/calibrate/channelCurves.ts';
import { predictColour } from '../analysis/calibrate/colourFit.ts';
import { colourUncertainty } from '../analysis/calibrate/uncertainty.ts';
import { type LabD50, xyzToLab } from '../analysis/colour/lab.ts';
import { straightened } from '../analysis/film/bend.ts';
import { type FilmColour, filmColour } from '../analysis/film/filmColour.ts';
import { fitFilm } from '../analysis/film/fitFilm.ts';
import { judgeFit } from '../analysis/film/judge.ts';
import { whyNotBelieved } from '../analysis/measure/film/rules.ts';
import { taughtSensors, type TaughtSensors } from '../analysis/measure/film/targetPatches.ts';
import type { LabValue } from '../analysis/quantity.ts';
import { xyzOf } from './spectra.ts';
import type { Reflectance, ScannerOfWorld, Swab, SwabWorld } from './swabWorlds.ts';

export interface BothWays {
  readonly swab: Swab;
  /** Index of its ink in the world. */
  readonly ink: number;
  readonly truth: LabD50;
  readonly map: { readonly lab: LabD50; readonly u: LabValue };
  readonly film: FilmColour;
  /** As the program would: through the film where that is believed. */
  readonly told: { readonly lab: LabD50; readonly u: LabValue };
}

/** Swabs whose dose hardly varies; a graded one is its thin, middle and thick part. */
const OF_ONE_DOSE: readonly Swab['kind'][] = ['even', 'thin', 'middle', 'thick'];
const ITERATIONS = 40;

/** @param known whether the target's spectra are known to the film or its Lab alone */
export function bothWays(
  world: SwabWorld,
  scanner: ScannerOfWorld,
  calibration: Calibration,
  known: TaughtSensors['by'],
): BothWays[] {
  const { sensors } = taughtSensors(patchesOf(world, calibration, known), calibration.curves)!;
  const signalOf = (r: Reflectance) =>
    linearSignals([{ device: scanner.device(r), light: [1, 1, 1] as const }], calibration.curves)[0];
  const mapped = (r: Reflectance): LabD50 => xyzToLab(predictColour(calibration, signalOf(r)));
  const papers = world.papers.map((r) => ({ signal: straightened(signalOf(r), sensors.bends) }));
  const papersLab = world.papers.map(mapped);
  const inks = [...new Set(world.swabs.map(({ ink }) => ink))];
  return inks.flatMap((ink): BothWays[] => {
    const swabs = world.swabs.filter((swab) => swab.ink === ink && OF_ONE_DOSE.includes(swab.kind));
    const regions = swabs.map(({ ground, reflectance, kind }, i) => ({
      id: `${kind} ${i}`,
      paper: world.papers.indexOf(ground),
      signal: straightened(signalOf(reflectance), sensors.bends),
    }));
    const fit = fitFilm({ papers, regions }, sensors, { iterations: ITERATIONS });
    const believed = whyNotBelieved({ judgement: judgeFit(fit, papersLab) }) === null;
    return swabs.map((swab, i): BothWays => {
      const lab = mapped(swab.reflectance);
      const map = { lab, u: colourUncertainty(lab, calibration) };
      const film = filmColour(fit, papers.length + i);
      return { swab, ink, truth: xyzToLab(xyzOf(swab.reflectance)), map, film, told: believed ? film : map };
    });
  });
}

/** The patches that the calibration was fitted to. */
function patchesOf({ patches }: SwabWorld, { patches: results, signals }: Calibration, known: TaughtSensors['by']) {
  const kept = results.filter(({ flags }) => !flags.includes('clipped') && !flags.includes('covered'));
  return kept.map(({ id, reference: lab }, i) => {
    const { grey, measured } = patches.find((patch) => patch.id === id)!;
    const reflectance = known === 'spectra' ? { firstNm: 380, stepNm: 10, values: [...measured] } : null;
    return { signal: signals[i], grey, lab, reflectance };
  });
}
