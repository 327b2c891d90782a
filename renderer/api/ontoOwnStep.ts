/** What is done while this window's own undo or redo has no answer yet. */
import { saidOnto } from '../../analysis/measure/strip/saidOnto.ts';
import type { Edit, Problem, SheetRegion, Work } from '../../electron/backend/api.ts';
import { fieldsOf, regionOf } from '../scans/regionKinds.ts';
import { ApiProblem } from './client.ts';

const TAKEN_AWAY: Problem = {
  code: 'taken-away',
  message: 'What was changed here had just been taken away by undo; do it again after redo.',
};

/** The same, where it is sent. @throws ApiProblem 'taken-away' */
export function ontoSteps(made: Edit, now: Work): Edit {
  const onto = ontoOwnStep(made, now);
  if (onto === null) throw new ApiProblem(TAKEN_AWAY, 404);
  return onto;
}

/**
 * A change of a region as it was drawn before the step's answer, made one of the region that the step left: what it leaves alone is as the
 * step left it, and a move goes on from there. @param now the work with the step's answer. @returns null: the step took the region away
 */
export function ontoOwnStep(edit: Edit, now: Work): Edit | null {
  if (edit.edit !== 'changeRegion' || !edit.from) return edit;
  const { from, region } = edit;
  const left = now.regions.find((other) => other.region.id === edit.id)?.region;
  if (!left) return null;
  const fields = new Set([...Object.keys(from), ...Object.keys(region)]);
  const mine = [...fields]
    .map((field): [string, unknown] => [field, Reflect.get(region, field)])
    .filter(([field, value]) => JSON.stringify(value) !== JSON.stringify(Reflect.get(from, field)));
  const boxMm = movedAlike(from.boxMm, region.boxMm, left.boxMm);
  const [was, is, by] = [from, region, left].map(fieldsOf);
  const onto = regionOf({
    ...by,
    ...Object.fromEntries(mine),
    ...(boxMm && { boxMm }),
    ...(is.kind === 'strip' && {
      originMm: shifted(was.originMm, is.originMm, by.originMm),
      frontMm: shifted(was.frontMm, is.frontMm, by.frontMm),
      bands: saidOnto(was.bands ?? [], is.bands ?? [], by.bands ?? []).words,
    }),
  });
  return { ...edit, region: onto, from: left };
}

type Box = SheetRegion['boxMm'];

function movedAlike(from: Box, to: Box, now: Box): Box {
  if (!from || !to || !now) return to;
  const along = (i: 0 | 1 | 2 | 3): number => shifted(from[i], to[i], now[i]);
  return [along(0), along(1), along(2), along(3)];
}

/** By as much as from one to the other, mm, to a thousandth; where one of them is not given, as it was made. */
function shifted<T extends number | undefined>(from: T, to: T, now: T): T | number {
  if (to === from) return now;
  return from === undefined || to === undefined || now === undefined ? to : Math.round(1000 * (now + to - from)) / 1000;
}
