/** What makes a kept result of an earlier program worthless: another way of computing it. */
import { PAIR_METHODS } from '../../analysis/measure/colourPairs.ts';
import { FITTED_METHODS } from '../../analysis/measure/film/fittedInk.ts';
import { FILM_METHODS } from '../../analysis/measure/film/throughFilm.ts';
import { INK_METHODS } from '../../analysis/measure/ink.ts';
import { BAR_FILM_METHODS } from '../../analysis/measure/opacity/barByFilm.ts';
import { BAR_METHODS } from '../../analysis/measure/opacity/measureBar.ts';
import { OPACITY_METHODS } from '../../analysis/measure/opacity/opacityFindings.ts';
import { PAPER_METHODS } from '../../analysis/measure/paper.ts';
import { PATH_METHOD } from '../../analysis/measure/pathDistance.ts';
import { REVERSE_METHODS } from '../../analysis/measure/showThrough/measureReverse.ts';
import { FRONT_METHODS } from '../../analysis/measure/strip/frontSpeed.ts';
import { RUN_SHIFT_METHODS } from '../../analysis/measure/strip/runShift.ts';
import { STRIP_METHODS } from '../../analysis/measure/strip/stripQuantities.ts';
import type { Task } from './tasks.ts';

/**
 * Bump one whenever its task gives other data for the same input: another number, another field, another shape.
 * (tests/jobs/keptResults.test.ts asks for it when the sample's accepted findings change.)
 */
export const TASK_VERSIONS = {
  calibrate: 'calibrate/8',
  paper: 'paper/9',
  region: 'region/18',
  film: 'film/10',
  overlay: 'overlay/4',
} as const satisfies Record<Task['task'], string>;

const METHODS_OF_KIND = {
  paper: PAPER_METHODS,
  strokes: INK_METHODS,
  swab: INK_METHODS,
  bar: BAR_METHODS,
  strip: { ...STRIP_METHODS, ...FRONT_METHODS },
  reverse: REVERSE_METHODS,
} as const;

/** The version of a task with the methods of all quantities that come out of it. */
export function versionOf(task: Task): string {
  return [TASK_VERSIONS[task.task], ...methodsOf(task)].join(' ');
}

const FILM: readonly string[] = [
  ...Object.values(FILM_METHODS),
  ...Object.values(FITTED_METHODS),
  ...Object.values(BAR_FILM_METHODS),
];

function methodsOf(task: Task): readonly string[] {
  if (task.task === 'film') return FILM;
  return task.task === 'region' ? Object.values<string>(METHODS_OF_KIND[task.measure.kind]) : [];
}

/** Of everything that lies between pixels and findings; part of what a finding was made from. */
export const MEASURING_VERSION = [
  TASK_VERSIONS.calibrate,
  TASK_VERSIONS.paper,
  TASK_VERSIONS.region,
  TASK_VERSIONS.film,
  ...FILM,
  ...Object.values(OPACITY_METHODS).flatMap((one) => (typeof one === 'string' ? [one] : Object.values<string>(one))),
  PATH_METHOD,
  ...Object.values(PAIR_METHODS),
  ...Object.values(RUN_SHIFT_METHODS),
  ...new Set(Object.values(METHODS_OF_KIND).flatMap((methods) => Object.values<string>(methods))),
].join(' ');
