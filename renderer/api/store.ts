/** What the window knows of the library, kept in step by events; and all that a person can do to it. */
import { useCallback, useSyncExternalStore } from 'react';
import type {
  CalibrationReport,
  Edit,
  FindingsReport,
  Hello,
  Job,
  KnownTargetFiles,
  Problem,
  RegionDetail,
  Shelf,
  TargetGrid,
  TargetView,
  WindowEvent,
  Work,
} from '../../electron/backend/api.ts';
import type { FilmAnswer } from '../../electron/backend/filmAnswer.ts';
import type { DyesAnswer, ShelfDyes } from '../../electron/backend/stripAnswers.ts';
import type { Address } from '../address/address.ts';
import type { OpacityAnswer, Prediction } from '../../electron/backend/opacityAnswer.ts';
import {
  cancelJob,
  getCalibrationReport,
  getDetail,
  getDyes,
  getFilm,
  getFindings,
  getHello,
  getOpacity,
  getPrediction,
  getShelf,
  getShelfDyes,
  getTarget,
  getTargetFiles,
  getTargetGrid,
  getWork,
  problemOf,
  sendEdit,
  sendMeasure,
  sendStep,
} from './client.ts';
import { drawnFrom } from './drawnFrom.ts';
import { sendHeldBack } from './heldBack.ts';
import { inkAndName, splitAt } from './joinedKeys.ts';
import { Kept, useKept } from './kept.ts';
import { ontoSteps } from './ontoOwnStep.ts';
import { forgetMeanwhile, tellNotKept, told } from './meanwhile.ts';
import { laterJob } from './laterJob.ts';
import { withLeft } from './leftEdits.ts';
import { lastRequestOf, nextRequestOf } from './nextRequest.ts';
import { isBeforeStep, stepBegins, stepEnds, stepped } from './ownSteps.ts';
import { afterOwn, ownEdit, pendingOf } from './ownView.ts';
import { type Loaded, Resource } from './resource.ts';
import { type Save, SaveQueue, type Saving } from './saveQueue.ts';
import { OTHER_LIBRARY, sendLeft } from './sendLeft.ts';
import { forgetUnsent, noteLibrary, noteUnsent, type Sent } from './unsent.ts';

export type { Loaded } from './resource.ts';
export type { Saving } from './saveQueue.ts';

const hello = new Resource<'hello', Hello>(async () => {
  const said = await getHello();
  noteLibrary(said.library);
  return said;
});
const shelf: Resource<'shelf', Shelf> = new Resource<'shelf', Shelf>(() => getShelf(shelf.value('shelf')));
const targetFiles = new Resource<'targets', KnownTargetFiles>(getTargetFiles);
/** Keys `layout/reference`, by content: what is held never grows old. */
const grids = new Resource<string, TargetGrid>((key) => getTargetGrid(...splitAt(key)));
const works = new Resource<number, Work>(
  // A page opens with what was done before the window was loaded anew, where that comes through at once.
  (ink) => sentAtFirst.then(() => getWork(ink)).then(withLeft),
  (next, held) => next.revision < held.revision,
  (held, next) => watchers.forEach((watch) => watch(held, next)),
);
const watchers = new Set<(before: Work, after: Work) => void>();
/** Tells of each newer work of an ink, with the one that was held, before anything is drawn of it. */
export function watchWorks(watch: (before: Work, after: Work) => void): void {
  watchers.add(watch);
}
const findings = new Resource<number, FindingsReport>(getFindings);
const films = new Resource<number, FilmAnswer | null>(getFilm);
const opacities = new Resource<number, OpacityAnswer>(getOpacity);
/** Keys `ink/query`. */
const predictions = new Resource<string, Prediction>((key) => getPrediction(...inkAndName(key)));
/** Keys `ink/region` and `ink/scan`: an ink's number has no slash. */
const details = new Resource<string, RegionDetail | null>((key) => getDetail(...inkAndName(key)));
const targets = new Resource<string, TargetView>((key) => getTarget(...inkAndName(key)));
const reports = new Resource<string, CalibrationReport>((key) => getCalibrationReport(...inkAndName(key)));
/** Keys `ink/strip/over`: names have no slash. */
const dyes = new Resource<string, DyesAnswer>((key) => {
  const [ink, rest] = inkAndName(key);
  return getDyes(ink, ...splitAt(rest));
});
const shelfDyes = new Resource<'dyes', ShelfDyes>(getShelfDyes);
/** The latest job of each ink, as events told of it: the shelf shows jobs of inks that are not open. */
const jobs = new Kept<number, Job | null>(null);
const saves = new SaveQueue(
  (ink, work) => takeWork(ink, work),
  (ink, problem) => {
    if (problem.code !== OTHER_LIBRARY.code) tellNotKept(ink, problem);
  },
);
/** What the window before a reload had no answer to goes before whatever is done now. */
const sentAtFirst = sendLeft(saves);

export const useHello = (): Loaded<Hello> => useResource(hello, 'hello');
export const useShelf = (): Loaded<Shelf> => useResource(shelf, 'shelf');
/** Layouts and references that the library knows. */
export const useTargetFiles = (): Loaded<KnownTargetFiles> => useResource(targetFiles, 'targets');
export const useWork = (ink: number): Loaded<Work> => useResource(works, ink);
export const useFindings = (ink: number): Loaded<FindingsReport> => useResource(findings, ink);
/** The ink as a film; null: it is not told as one. Fitted when all is measured, so that a measurement asks once, at its end. */
export const useFilm = (ink: number): Loaded<FilmAnswer | null> => useResource(films, ink);
/** What lies under the ink; of the ink as it was last measured as a whole. */
export const useOpacity = (ink: number): Loaded<OpacityAnswer> => useResource(opacities, ink);
/** The ink where it was not measured. @param query of client.ts `foretoldQuery` */
export const usePrediction = (ink: number, query: string): Loaded<Prediction> =>
  useResource(predictions, `${ink}/${query}`);
/** Null: not measured yet. */
export const useDetail = (ink: number, region: string): Loaded<RegionDetail | null> =>
  useResource(details, `${ink}/${region}`);
/** How much of a strip's dyes lies along a strip or over writing; asked anew when either was measured anew. */
export const useDyes = (ink: number, of: string, over: string): Loaded<DyesAnswer> =>
  useResource(dyes, `${ink}/${of}/${over}`);
/** The bands of all strips on the shelf. */
export const useShelfDyes = (): Loaded<ShelfDyes> => useResource(shelfDyes, 'dyes');
/** A layout with its reference's colours, as they are drawn over a scan; hashes. */
export const useTargetGrid = (layout: string, reference: string): Loaded<TargetGrid> =>
  useResource(grids, `${layout}/${reference}`);
/** The target that lies in this scan; waits for its calibration. */
export const useTarget = (ink: number, scan: string): Loaded<TargetView> => useResource(targets, `${ink}/${scan}`);
/** Its report card; waits for its calibration, too. */
export const useCalibrationReport = (ink: number, scan: string): Loaded<CalibrationReport> =>
  useResource(reports, `${ink}/${scan}`);

/** What a page begins with is asked for while the page's own code still comes. */
export function fetchAhead({ page, ink }: Address): void {
  shelf.fetchAhead('shelf');
  if (ink === null) return;
  works.fetchAhead(ink);
  if (page !== 'scans' && page !== 'calibration') findings.fetchAhead(ink);
}

/** Calls `run` with an ink's work, now or when it has come. */
export function onceWorkIsHeld(ink: number, run: (work: Work) => void): void {
  const take = (): void => {
    const work = works.value(ink);
    if (work === null) return;
    leave();
    run(work);
  };
  const leave = works.subscribe(ink, take);
  take();
}

/** A measurement of this ink, running or just ended; null: none that this window knows of. */
export function useJob(ink: number): Job | null {
  return useKept(jobs, ink);
}

/** Whether this ink's edits have reached the library. */
export function useSaving(ink: number | null): Saving {
  return useSyncExternalStore(saves.subscribe, () => saves.read(ink));
}

export interface EditOptions {
  /** Made of the work as it was before an undo or redo of this window. @default whether one has no answer now */
  readonly duringStep?: boolean;
}

/**
 * Sends one edit; edits of an ink keep their order. The work in the store changes once the library has it.
 * @param change A function is asked when its turn has come, when edits before it may have changed what things are called.
 * @returns null when saved, else why not (never throws): say it beside the thing. One that did not get there answers when its tries are over.
 */
export async function edit(
  ink: number,
  change: Edit | (() => Edit),
  { duringStep = isBeforeStep(ink) }: EditOptions = {},
): Promise<Problem | null> {
  sendHeldBack(ink);
  const seen = works.value(ink);
  const before = pendingOf(ink);
  // What was done before it is known from its first try on, also to the next, which may begin a row.
  let known = seen;
  const request = nextRequestOf(ink);
  const make = (): Edit => (typeof change === 'function' ? change() : change);
  const own = ownEdit(ink, make());
  const asEdit = (made: Edit) => ({
    edit: duringStep ? made : drawnFrom(made, seen ? afterOwn(seen, before) : known),
    request,
    ...(known && { revision: known.revision }),
  });
  const send: Save['send'] = async (latest) => {
    known = latest ?? known;
    const now = duringStep ? drawnFrom(ontoSteps(make(), works.value(ink) ?? (await getWork(ink))), known) : make();
    const answer = await sendEdit(ink, asEdit(now)).catch((error: unknown) => {
      // Another window removed the thing: there is no place beside it any more where this could be said.
      const problem = problemOf(error);
      if (GONE.has(problem.code)) tellNotKept(ink, problem);
      throw error;
    });
    return told(ink, answer);
  };
  const problem = await addNoted(ink, request, { to: 'edits', body: asEdit(make()), duringStep }, send);
  own.ended(problem !== null);
  return problem;
}

/** Kept for another try, also over a reload of the window. */
async function addNoted(ink: number, request: string, what: Sent, send: Save['send']): Promise<Problem | null> {
  noteUnsent({ request, library: hello.value('hello')?.library ?? null, ink, ...what });
  const problem = await saves.add(ink, { send });
  forgetUnsent(request);
  return problem;
}

const GONE = new Set(['no-such-region', 'no-such-scan']);

/** @returns null when done, else why not. */
export const undo = (ink: number): Promise<Problem | null> => step(ink, 'undo');
export const redo = (ink: number): Promise<Problem | null> => step(ink, 'redo');

/** Of the step that this window shows: when another window was quicker, its step is not taken back unseen. */
async function step(ink: number, way: 'undo' | 'redo'): Promise<Problem | null> {
  sendHeldBack(ink);
  forgetMeanwhile(ink);
  const seen = works.value(ink);
  let known = seen;
  // Which number that has is known only where nothing goes before it.
  const isFirst = saves.read(ink).state === 'saved';
  const after = isFirst ? null : lastRequestOf(ink);
  const request = nextRequestOf(ink);
  stepBegins(ink);
  const asStep = (number: number | null | undefined) => ({
    request,
    ...(after !== null && { after }),
    ...(number != null && { step: number }),
  });
  const body = asStep(isFirst ? seen?.steps[way] : null);
  const problem = await addNoted(ink, request, { to: way, body }, async (latest) => {
    known = latest ?? known;
    return stepped(ink, await sendStep(ink, way, asStep(known?.steps[way])));
  });
  stepEnds(ink);
  // What is held may be from before the other window's step.
  if (problem?.code === 'changed-elsewhere') works.invalidate(ink);
  return problem;
}

/** Sends what could not be saved once more, in its order. */
export function saveAgain(ink: number): void {
  saves.again(ink);
}

const lettingsGo = new Map<number, number>();

/** How often a person let go of what could not be saved of this ink: what comes of an edit across one is no refusal that leaves anything to mend. */
export const timesLetGo = (ink: number): number => lettingsGo.get(ink) ?? 0;

/** Lets go of what could not be saved: the library's state stands. */
export function giveUpSaving(ink: number): void {
  lettingsGo.set(ink, timesLetGo(ink) + 1);
  saves.giveUp(ink);
  works.invalidate(ink);
}

/** The latest work, null without one: pages may still draw an earlier one. */
export function heldWork(ink: number): Work | null {
  return works.value(ink);
}

/** Whether closing the window now would lose an edit. */
export function hasUnsaved(): boolean {
  return saves.unsaved();
}

/** Measures what is not up to date; joins a measurement that runs. @returns null when started, else why not. */
export async function measure(ink: number): Promise<Problem | null> {
  try {
    sendHeldBack(ink);
    await saves.settled(ink);
    takeJob(await sendMeasure(ink));
    return null;
  } catch (error) {
    return problemOf(error);
  }
}

export async function cancel(job: string): Promise<Problem | null> {
  try {
    await cancelJob(job);
    return null;
  } catch (error) {
    return problemOf(error);
  }
}

/** Takes a work that an answer brought (a new ink, an import). */
export function takeWork(ink: number, work: Work): void {
  works.accept(ink, work);
  findings.invalidate(ink);
  wholeInk(ink);
  ofInk(targets, ink);
  ofInk(reports, ink);
  shelf.invalidate('shelf');
}

/** What is told of all its samples together. */
function wholeInk(ink: number): void {
  films.invalidate(ink);
  opacities.invalidate(ink);
  ofInk(predictions, ink);
}

export function refreshShelf(): void {
  shelf.invalidate('shelf');
  shelfDyes.invalidate('dyes');
  targetFiles.invalidate('targets');
}

/** After a lost connection: what was not saved goes first, and all that is held may be old. */
export function refreshAll(): void {
  saves.allAgain();
  jobs.dropAll();
  hello.invalidate('hello');
  shelf.invalidate('shelf');
  targetFiles.invalidate('targets');
  for (const byInk of [works, findings, films, opacities]) byInk.invalidateWhere(() => true);
  shelfDyes.invalidate('dyes');
  dyes.invalidateWhere(() => true);
  for (const byName of [details, targets, reports, predictions]) byName.invalidateWhere(() => true);
}

/** What an event means for what is held. */
export function takeEvent(event: WindowEvent): void {
  if (event.event === 'shelf') {
    refreshShelf();
    // An ink may be off the shelf now, or on it again.
    works.invalidateWhere(() => true);
  } else if (event.event === 'job') takeJob(event.job);
  else if (event.event === 'findings') {
    findings.invalidate(event.ink);
    works.invalidate(event.ink);
    for (const region of event.regions) details.invalidate(`${event.ink}/${region}`);
    ofInk(dyes, event.ink);
    shelfDyes.invalidate('dyes');
  } else {
    const held = works.value(event.ink);
    if (held !== null && held.revision >= event.revision && !event.colours) return;
    works.invalidate(event.ink);
    findings.invalidate(event.ink);
    wholeInk(event.ink);
    ofInk(targets, event.ink);
    ofInk(reports, event.ink);
  }
}

function takeJob(job: Job): void {
  jobs.put(job.ink, laterJob(jobs.get(job.ink), job));
  works.update(job.ink, (work) => ({ ...work, job: laterJob(work.job, job) }));
  if (job.state === 'running') return;
  works.invalidate(job.ink);
  findings.invalidate(job.ink);
  wholeInk(job.ink);
  ofInk(details, job.ink);
  ofInk(dyes, job.ink);
  shelf.invalidate('shelf');
  shelfDyes.invalidate('dyes');
}

function ofInk<T>(resource: Resource<string, T>, ink: number): void {
  resource.invalidateWhere((key) => key.startsWith(`${ink}/`));
}

function useResource<K extends string | number, T>(resource: Resource<K, T>, key: K): Loaded<T> {
  const subscribe = useCallback((listener: () => void) => resource.subscribe(key, listener), [resource, key]);
  return useSyncExternalStore(subscribe, () => resource.read(key));
}
