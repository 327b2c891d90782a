/** Files on their way into the library: each drop is a batch, sent file by file; what fails stops nothing else. */
import { useSyncExternalStore } from 'react';
import type { ImportAnswer, Problem, Upload } from '../../electron/backend/api.ts';
import { goTo } from '../address/useAddress.ts';
import { ApiProblem, importInto, isAbort, openSheet, problemOf } from '../api/client.ts';
import { makeInk, type NewInk } from '../api/makeInk.ts';
import { nextRequest } from '../api/nextRequest.ts';
import { refreshShelf, takeWork } from '../api/store.ts';
import { announce } from '../look/announce.ts';
import type { BroughtFile } from './broughtFile.ts';
import { type BroughtLine, changeLine, isWorthReading, startLine } from './broughtLine.ts';
import { noteBrought } from './justBrought.ts';
import { type Named, mayBeSheet, sortBrought } from './sortBrought.ts';
import { FILE_GONE, upload } from './upload.ts';

export interface Batch {
  readonly id: number;
  readonly lines: readonly BroughtLine[];
  /** 'asking': scans have come and no ink is open to take them. */
  readonly stage: 'looking' | 'sending' | 'asking' | 'joining' | 'ended';
  /** What the library refused, a line each. */
  readonly words: readonly string[];
  /** Quieter words about the whole: files of a folder that were left alone. */
  readonly asides: readonly string[];
  /** Lines whose files can be sent once more. */
  readonly canSendAgain: boolean;
}

interface Sendable extends Named {
  readonly file: File;
}

interface Running {
  shown: Batch;
  /** The ink that was open when the files came; null: none. */
  readonly ink: number | null;
  readonly stops: Map<number, AbortController>;
  readonly files: Map<number, Sendable>;
  /** What a failed file belonged to: its whole sheet, or nothing. */
  again: (() => void) | null;
  /** Scans that wait for an ink's name. */
  waiting: { readonly name: string; readonly hash: string; readonly isAgain?: boolean }[];
  /** Names the request that makes an ink for them: when they do not get there, it is there all the same. */
  readonly request: string;
}

let batches: readonly Running[] = [];
let shownBatches: readonly Batch[] = [];
let count = 0;
const listeners = new Set<() => void>();

export function useBatches(): readonly Batch[] {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
    () => shownBatches,
  );
}

/**
 * Takes whatever was brought. A sheet with its files becomes a new ink; scans join the open ink, or a new one whose name is
 * asked for in the tray; layouts and references are kept to choose from.
 * @param ink The open ink; null: none.
 */
export async function bring(files: readonly BroughtFile[], ink: number | null): Promise<void> {
  if (files.length === 0) {
    announce('There was no file in that; bring scans, a sheet or a folder of them.');
    return;
  }
  const running: Running = {
    shown: { id: ++count, lines: [], stage: 'looking', words: [], asides: [], canSendAgain: false },
    ink,
    stops: new Map(),
    files: new Map(),
    again: null,
    waiting: [],
    request: nextRequest(),
  };
  batches = [...batches, running];
  tell();
  const named = inOrder(files).flatMap(({ name, file }): Sendable[] => {
    if (file) return [{ name, bytes: file.size, file }];
    addLine(running, name, { state: 'refused', words: UNREADABLE });
    return [];
  });
  const texts = new Map<string, string>();
  for (const file of named.filter(mayBeSheet)) {
    // What cannot be read now will say so when it is sent.
    texts.set(file.name, await file.file.text().catch(() => ''));
  }
  const { sheets, loose, refused, leftAlone } = sortBrought(named, texts);
  for (const { name, words } of refused) addLine(running, name, { state: 'refused', words });
  if (leftAlone.length > 0) show(running, { asides: [leftAloneWords(leftAlone)] });
  const groups = [...sheets.map((group) => ({ group, isSheet: true })), { group: loose, isSheet: false }];
  const numbered = groups.map(({ group, isSheet }) => ({
    isSheet,
    request: nextRequest(),
    numbers: group.map((file) => {
      const number = addLine(running, file.name, {});
      running.files.set(number, file);
      return number;
    }),
  }));
  if (leftAlone.length > 0 && running.files.size === 0 && running.shown.lines.length === 0) {
    say(running, 'Nothing in it is a scan (TIFF, PNG, JPEG), a sheet or part of a target.');
  }
  await carryOut(running, numbered);
}

/** Whether closing the window now would leave something on its way, or without its ink. */
export const isBringing = (): boolean => batches.some(({ shown }) => shown.stage !== 'ended');

/** Stops one file of a batch; the others go on. */
export function cancelLine(batch: number, line: number): void {
  const running = find(batch);
  if (!running) return;
  running.stops.get(line)?.abort();
  setLine(running, line, { state: 'cancelled', words: 'cancelled' });
}

export function cancelBatch(batch: number): void {
  const running = find(batch);
  running?.shown.lines.forEach(({ state }, line) => {
    if (state === 'waiting' || state === 'sending') cancelLine(batch, line);
  });
}

/** Sends what did not arrive once more. */
export function sendAgain(batch: number): void {
  find(batch)?.again?.();
}

export function dismiss(batch: number): void {
  cancelBatch(batch);
  batches = batches.filter(({ shown }) => shown.id !== batch);
  tell();
}

/** Scans that no open ink takes become an ink of this name, or join one that is there. @returns null when done, else why not. */
export async function giveInk(batch: number, to: NewInk | { readonly ink: number }): Promise<Problem | null> {
  const running = find(batch);
  if (!running) return null;
  show(running, { stage: 'joining' });
  try {
    const ink = 'ink' in to ? to.ink : await makeInk(to, running.request);
    await joinScans(running, ink);
    end(running);
    return null;
  } catch (error) {
    show(running, { stage: 'asking' });
    return problemOf(error);
  }
}

interface Group {
  readonly isSheet: boolean;
  /** Names the request that makes its ink. */
  readonly request: string;
  readonly numbers: readonly number[];
}

async function carryOut(running: Running, groups: readonly Group[]): Promise<void> {
  show(running, { stage: 'sending', canSendAgain: false });
  const failed: Group[] = [];
  const scans: { name: string; hash: string }[] = [];
  for (const group of groups) {
    const { uploads, lost, gone } = await sendGroup(running, group);
    if (group.isSheet) {
      // A sheet without one of its scans would lose what was drawn there: it waits until all have come.
      if (gone.length > 0) say(running, notOpenedWords(running, group));
      else if (lost.length > 0) failed.push(group);
      else if (uploads.length > 0 && !(await makeSheet(running, group, uploads))) failed.push(group);
    } else {
      if (lost.length > 0) failed.push({ ...group, numbers: lost });
      scans.push(...uploads.filter((u) => u.kind === 'scan' && u.problem === null));
      if (uploads.some(({ kind }) => kind === 'layout' || kind === 'reference')) refreshShelf();
    }
  }
  running.again = failed.length === 0 ? null : () => void carryOut(running, failed);
  running.waiting.push(...scans);
  show(running, { canSendAgain: failed.length > 0 });
  if (running.waiting.length === 0) end(running);
  else if (running.ink === null) show(running, { stage: 'asking' });
  else {
    show(running, { stage: 'joining' });
    try {
      await joinScans(running, running.ink);
    } catch (error) {
      say(running, problemOf(error).message);
      running.again = () => void carryOut(running, failed);
      show(running, { canSendAgain: true });
    }
    end(running);
  }
}

/** One after another: the disk and the decoder are the limit, not the way there. */
async function sendGroup(running: Running, { numbers, isSheet }: Group) {
  const uploads: Upload[] = [];
  const lost: number[] = [];
  const gone: number[] = [];
  for (const number of numbers) {
    const sent = await sendOne(running, number, isSheet);
    if (sent === 'lost') lost.push(number);
    else if (sent === 'gone') gone.push(number);
    else if (sent !== null) uploads.push(sent);
  }
  return { uploads, lost, gone };
}

/** @returns 'lost': another try may do; 'gone': the file is no longer what was brought; null: it is no use, or was cancelled */
async function sendOne(running: Running, number: number, ofSheet: boolean): Promise<Upload | 'lost' | 'gone' | null> {
  const file = running.files.get(number);
  if (!file || running.shown.lines[number].state === 'cancelled') return null;
  const stop = new AbortController();
  running.stops.set(number, stop);
  setLine(running, number, { state: 'sending', part: 0, words: '' }, true);
  try {
    const answer = await upload(file.file, file.name, (part) => setLine(running, number, { part }), stop.signal);
    const useless = answer.problem !== null;
    const told = useless ? { words: answer.problem } : keptWords(answer, ofSheet);
    setLine(running, number, { state: useless ? 'refused' : 'kept', part: 1, ...told });
    if (!useless && !ofSheet && (answer.kind === 'layout' || answer.kind === 'reference')) noteBrought(answer.hash);
    return useless ? null : answer;
  } catch (error) {
    if (isAbort(error)) return null;
    const { code, message } = problemOf(error);
    const isFinal = code === FILE_GONE.code || code === 'too-large';
    setLine(running, number, { state: isFinal ? 'refused' : 'failed', words: message });
    if (!isFinal) return 'lost';
    return code === FILE_GONE.code ? 'gone' : null;
  } finally {
    running.stops.delete(number);
  }
}

/** @returns false: the library did not say anything to it, and may another time */
async function makeSheet(running: Running, group: Group, uploads: readonly Upload[]): Promise<boolean> {
  const sheetCame = uploads.some(({ kind }) => kind === 'sheet');
  if (!sheetCame) return true;
  show(running, { stage: 'joining' });
  try {
    const { request } = group;
    const answer = await openSheet({ uploads: uploads.map(({ name, hash }) => ({ name, hash })), request });
    take(running, answer);
    announce(`“${answer.work.ink.name}” is on the shelf, with ${scansWords(answer.added.length)}.`);
    goTo({ page: 'scans', ink: answer.work.ink.id, query: {} });
    return true;
  } catch (error) {
    const [sheet] = group.numbers;
    setLine(running, sheet, { state: 'failed', words: problemOf(error).message });
    return !(error instanceof ApiProblem) || (error.status > 0 && error.status < 500);
  }
}

/** @throws ApiProblem: the scans then still wait */
async function joinScans(running: Running, ink: number): Promise<void> {
  const uploads = running.waiting.map(({ name, hash, isAgain = false }) => ({ name, hash, isAgain }));
  running.waiting = uploads.map((one) => ({ ...one, isAgain: true }));
  const answer = await importInto(ink, { uploads });
  running.waiting = [];
  take(running, answer);
  const [first] = answer.added;
  if (first === undefined) return;
  announce(`${scansWords(answer.added.length)} now with “${answer.work.ink.name}”.`);
  goTo({ page: 'scans', ink, query: { scan: first } });
}

function take(running: Running, { work, problems }: ImportAnswer): void {
  takeWork(work.ink.id, work);
  for (const problem of problems) say(running, problem);
}

/** As long as two lines take to be read at leisure, ms. */
const GOOD_NEWS_MS = 15_000;

/** A batch without trouble leaves the tray; good news leaves it after a while; trouble stays until it is dismissed. */
function end(running: Running): void {
  show(running, { stage: 'ended' });
  const { id, lines, words, canSendAgain } = running.shown;
  if (canSendAgain || words.length > 0) return;
  if (!lines.some(isWorthReading)) dismiss(id);
  else if (lines.every(({ state }) => state === 'kept')) setTimeout(() => dismiss(id), GOOD_NEWS_MS);
}

function keptWords({ kind, already }: Upload, ofSheet: boolean): { words: string; stays: boolean } {
  if (!ofSheet && (kind === 'layout' || kind === 'reference')) {
    const what = kind === 'layout' ? 'a target’s layout' : 'a target’s reference values';
    return { words: `${what}: kept, to be chosen for a target on the Scans page`, stays: true };
  }
  return { words: already ?? '', stays: false };
}

function leftAloneWords(names: readonly string[]): string {
  const some = names.slice(0, 3).map((name) => name.split('/').at(-1));
  const more = names.length > some.length ? ', …' : '';
  return `${names.length === 1 ? 'One other file' : `${names.length} other files`} of the folder were left alone (${some.join(', ')}${more}).`;
}

const UNREADABLE = 'could not be read; see that it is still there and may be read, and bring it in again.';

/** As a person counts: page 2 before page 10, in whatever order the disk has them. */
function inOrder(files: readonly BroughtFile[]): readonly BroughtFile[] {
  const { compare } = new Intl.Collator('en', { numeric: true });
  return files.toSorted((a, b) => compare(a.name, b.name));
}

function notOpenedWords(running: Running, { numbers: [sheet] }: Group): string {
  const name = running.shown.lines[sheet].name.split('/').at(-1);
  return `${name} was not opened, since not all of its files could be read any more; expected all of them. Bring its folder in again.`;
}

function scansWords(n: number): string {
  return n === 1 ? '1 scan' : `${n} scans`;
}

function find(batch: number): Running | undefined {
  return batches.find(({ shown }) => shown.id === batch);
}

function addLine(running: Running, name: string, change: Partial<BroughtLine>): number {
  const { lines } = running.shown;
  show(running, { lines: [...lines, { ...startLine(name), ...change }] });
  return lines.length;
}

/** @param anew A line that had failed begins again. */
function setLine(running: Running, number: number, change: Partial<BroughtLine>, anew = false): void {
  show(running, {
    lines: running.shown.lines.map((line, i) => {
      if (i !== number) return line;
      return anew ? { ...line, ...change } : changeLine(line, change);
    }),
  });
}

function say(running: Running, words: string): void {
  if (!running.shown.words.includes(words)) show(running, { words: [...running.shown.words, words] });
}

function show(running: Running, change: Partial<Batch>): void {
  running.shown = { ...running.shown, ...change };
  tell();
}

function tell(): void {
  shownBatches = batches.map(({ shown }) => shown);
  for (const listener of listeners) listener();
}
