/** One typed function for every route of the backend (electron/backend/api.ts). */
import type { LabValue } from '../../analysis/quantity.ts';
import type {
  CalibrationReport,
  EditAnswer,
  EditRequest,
  FindingsReport,
  Hello,
  ImportAnswer,
  ImportRequest,
  Job,
  KnownTargetFiles,
  NameNow,
  PathsRequest,
  Problem,
  RegionDetail,
  SheetRequest,
  Shelf,
  ShelfChanges,
  StepRequest,
  TargetGrid,
  TargetView,
  TaughtCard,
  TeachRequest,
  Upload,
  Work,
} from '../../electron/backend/api.ts';
import type { Probe } from '../../electron/backend/probeAnswer.ts';
import type { FilmAnswer } from '../../electron/backend/filmAnswer.ts';
import type { DyesAnswer, ShelfDyes, StripsOnScan } from '../../electron/backend/stripAnswers.ts';
import type { OpacityAnswer, Prediction } from '../../electron/backend/opacityAnswer.ts';
import type { ProblemsAsAnswers, StatusHeader } from '../../electron/backend/quietProblems.ts';

/** Else the browser's console has an error for everything that is not there. */
const PROBLEMS_AS_ANSWERS: ProblemsAsAnswers = { 'x-problems': 'as-answers' };
const STATUS_HEADER: StatusHeader = 'x-status';

/** An answer that is not 2xx, or none at all (code 'no-connection'). */
export class ApiProblem extends Error implements Problem {
  readonly code: string;
  /** HTTP status; 0: no answer. */
  readonly status: number;

  constructor(problem: Problem, status = 0) {
    super(problem.message);
    this.name = 'ApiProblem';
    this.code = problem.code;
    this.status = status;
  }
}

/** Whatever was thrown, as one line for the person. An abort stays an abort: ask `isAbort` first. */
export function problemOf(error: unknown): Problem {
  if (error instanceof ApiProblem) return { code: error.code, message: error.message };
  return { code: 'window-fault', message: error instanceof Error ? error.message : String(error) };
}

export function isAbort(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'AbortError';
}

export const getHello = (): Promise<Hello> => ask('/api/hello');
/** @param held What this window knows of it: only what changed since is asked for, and cards that did not change stay the same objects. */
export async function getShelf(held: Shelf | null): Promise<Shelf> {
  if (held === null) return ask('/api/shelf');
  return withChanges(held, await ask<ShelfChanges>(`/api/shelf?${search({ since: held.stamp })}`));
}

export function withChanges(held: Shelf, { order, changed, ...rest }: ShelfChanges): Shelf {
  const known = new Map([...held.inks, ...changed].map((card) => [card.id, card]));
  return { ...rest, inks: order.flatMap((ink) => known.get(ink) ?? []) };
}
export const getWork = (ink: number): Promise<Work> => ask(inkPath(ink));
/** What an old address's name is called now. */
export const getNameNow = async (ink: number, what: 'scans' | 'regions', name: string): Promise<string> =>
  (await ask<NameNow>(inkPath(ink, 'named', what, name))).name;
export const getFindings = (ink: number): Promise<FindingsReport> => ask(inkPath(ink, 'findings'));
export const getTargetFiles = (): Promise<KnownTargetFiles> => ask('/api/targets');
export const getTarget = (ink: number, scan: string, signal?: AbortSignal): Promise<TargetView> =>
  ask(inkPath(ink, 'targets', scan), { signal });

/** A target as it is drawn over a scan. */
export const getTargetGrid = (layout: string, reference: string): Promise<TargetGrid> =>
  ask(`/api/targets/${layout}/${reference}`);
export const sendTeach = (ink: number, scan: string, request: TeachRequest, signal: AbortSignal): Promise<TaughtCard> =>
  send(inkPath(ink, 'targets', scan, 'teach'), request, signal);
/** The report card of the target that lies in this scan. */
export const getCalibrationReport = (ink: number, scan: string): Promise<CalibrationReport> =>
  ask(calibrationReportUrl(ink, scan));

/** Null: not measured yet. */
export async function getDetail(ink: number, region: string): Promise<RegionDetail | null> {
  try {
    return await ask<RegionDetail>(inkPath(ink, 'regions', region, 'detail'));
  } catch (error) {
    if (error instanceof ApiProblem && error.status === 404) return null;
    throw error;
  }
}

/** Strips that lie on a scan, to take or leave. */
export const getStripsOnScan = (ink: number, scan: string): Promise<StripsOnScan> =>
  ask(inkPath(ink, 'scans', scan, 'strips'));
/** How much of each dye of one strip lies along another, or over writing. */
export const getDyes = (ink: number, of: string, over: string): Promise<DyesAnswer> =>
  ask(inkPath(ink, 'strips', of, 'dyes', over));
export const getShelfDyes = (): Promise<ShelfDyes> => ask('/api/dyes');

/** Null: this ink is not told as a film. */
export async function getFilm(ink: number): Promise<FilmAnswer | null> {
  try {
    return await ask<FilmAnswer>(inkPath(ink, 'film'));
  } catch (error) {
    if (error instanceof ApiProblem && error.status === 404) return null;
    throw error;
  }
}

/** What lies under the ink, and what it will look like elsewhere. */
export const getOpacity = (ink: number): Promise<OpacityAnswer> => ask(inkPath(ink, 'opacity'));
/** @param query `pen=` with `paper=` or with `L=`, `a=`, `b=`, as `foretoldQuery` writes it. */
export const getPrediction = (ink: number, query: string): Promise<Prediction> =>
  ask(`${inkPath(ink, 'prediction')}?${query}`);

export interface Foretold {
  readonly pen: string;
  /** A paper's name, or a colour that a person picks. */
  readonly on: string | LabValue;
  /** The region whose writing is shown; absent: the backend's choice. */
  readonly from?: string;
}
export function foretoldQuery({ pen, on, from }: Foretold): string {
  const ground = typeof on === 'string' ? { paper: on } : { L: on[0], a: on[1], b: on[2] };
  return search({ pen, ...ground, ...(from !== undefined && { from }) });
}

export interface ByteRaster {
  readonly data: Uint8Array;
  readonly columns: number;
  readonly rows: number;
}
/** What each pixel of a region counted as (RegionDetail.marks). */
export async function getMarks(ink: number, region: string, signal?: AbortSignal): Promise<ByteRaster> {
  const answer = await answerOf(inkPath(ink, 'regions', region, 'marks'), { signal });
  return { data: new Uint8Array(await answer.arrayBuffer()), ...rasterSize(answer) };
}

export interface BoxInScan {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}
export interface LabRaster {
  /** L*, a*, b* × LAB_RASTER_SCALE, interleaved, row by row. */
  readonly data: Int16Array;
  readonly columns: number;
  readonly rows: number;
}
export async function getLab(
  ink: number,
  scan: string,
  key: string,
  boxPx: BoxInScan,
  columns: number,
  signal?: AbortSignal,
): Promise<LabRaster> {
  const answer = await answerOf(`${inkPath(ink, 'scans', scan, 'lab', key)}?${search({ ...boxPx, columns })}`, {
    signal,
  });
  return { data: new Int16Array(await answer.arrayBuffer()), ...rasterSize(answer) };
}

export const getProbe = (
  ink: number,
  scan: string,
  at: { readonly x: number; readonly y: number; readonly radius: number },
  signal?: AbortSignal,
): Promise<Probe> => ask(`${inkPath(ink, 'scans', scan, 'probe')}?${search(at)}`, { signal });

export const createInk = (name: string, maker: string | null, request: string): Promise<Work> =>
  send('/api/inks', { name, maker, request });
export const removeInk = (ink: number): Promise<void> => done(inkPath(ink), { method: 'DELETE' });
export const restoreInk = (ink: number): Promise<void> => done(inkPath(ink, 'restore'), { method: 'POST' });
export const sendEdit = (ink: number, request: EditRequest): Promise<EditAnswer> =>
  save(inkPath(ink, 'edits'), request);
export const sendStep = (ink: number, way: 'undo' | 'redo', request: StepRequest): Promise<Work> =>
  save(inkPath(ink, way), request);
export const sendMeasure = (ink: number): Promise<Job> => send(inkPath(ink, 'measure'));
export const cancelJob = (job: string): Promise<void> =>
  done(`/api/jobs/${encodeURIComponent(job)}`, { method: 'DELETE' });
export const importInto = (ink: number, request: ImportRequest): Promise<ImportAnswer> =>
  send(inkPath(ink, 'import'), request);
export const openSheet = (request: SheetRequest): Promise<ImportAnswer> => send('/api/sheets', request);
export const sendPaths = (request: PathsRequest): Promise<Upload[]> => send('/api/paths', request);

/** Pictures by address; the key changes with the colours, so that they may be kept for ever. */
export const tileUrl = (ink: number, scan: string, key: string, level: number, column: number, row: number): string =>
  inkPath(ink, 'scans', scan, 'tiles', key, String(level), String(column), String(row));
export const overviewUrl = (ink: number, scan: string, key: string): string =>
  inkPath(ink, 'scans', scan, 'overview', key);
export const cropUrl = (ink: number, scan: string, key: string, boxPx: BoxInScan, columns: number): string =>
  `${inkPath(ink, 'scans', scan, 'crop')}?${search({ ...boxPx, columns, key })}`;
/** The piece of a region with the most ink, so many pixels of so many mm. */
export const thumbnailUrl = (
  ink: number,
  scan: string,
  key: string,
  boxPx: BoxInScan,
  size: { readonly mmPerPixel: number; readonly columns: number; readonly rows: number },
): string => `${inkPath(ink, 'scans', scan, 'thumbnail', key)}?${search({ ...boxPx, ...size })}`;
/** The same piece of a region's writing as it would look on another ground. @param query as `foretoldQuery` writes it */
export const elsewhereUrl = (
  ink: number,
  scan: string,
  key: string,
  boxPx: BoxInScan,
  size: { readonly mmPerPixel: number; readonly columns: number; readonly rows: number },
  query: string,
): string => `${inkPath(ink, 'scans', scan, 'elsewhere', key)}?${search({ ...boxPx, ...size })}&${query}`;
/** @param as Changes when the strip does. */
export const straightUrl = (ink: number, strip: string, as: string): string =>
  `${inkPath(ink, 'strips', strip, 'straight')}?${search({ as })}`;
export const calibrationReportUrl = (ink: number, scan: string): string => inkPath(ink, 'targets', scan, 'report');
/** @param by as the page tells colours */
export const csvUrl = (ink: number, by: 'film' | 'map'): string =>
  `${inkPath(ink, 'findings.csv')}${by === 'map' ? '?by=map' : ''}`;
export const sheetJsonUrl = (ink: number): string => inkPath(ink, 'sheet.json');
export const cardUrl = (file: 'a4.pdf' | 'letter.pdf' | 'layout.json'): string => `/api/card/${file}`;
export const sheetZipUrl = (ink: number): string => inkPath(ink, 'sheet.zip');

function inkPath(ink: number, ...parts: readonly string[]): string {
  return ['/api/inks', ink, ...parts.map(encodeURIComponent)].join('/');
}

function search(values: Readonly<Record<string, string | number>>): string {
  return new URLSearchParams(Object.entries(values).map(([name, value]) => [name, String(value)])).toString();
}

function rasterSize(answer: Response): { columns: number; rows: number } {
  return { columns: Number(answer.headers.get('x-columns')), rows: Number(answer.headers.get('x-rows')) };
}

interface Ask {
  readonly method?: 'GET' | 'POST' | 'DELETE';
  readonly body?: string;
  readonly headers?: Record<string, string>;
  readonly signal?: AbortSignal | undefined;
  readonly keepalive?: boolean;
}

/** An edit takes the host some milliseconds: an answer that is not here by then got lost. */
const LOST_MS = 30_000;
/** The browser sends so much after a page that is left, and refuses more (fetch.spec.whatwg.org, keepalive: 64 KiB). */
const MOST_AFTER_LEAVING = 20_000;

/** What a person did: it goes out although the page is left, and is not waited for without end. */
function save<T>(path: string, request: object): Promise<T> {
  const body = JSON.stringify(request);
  const headers = { 'content-type': 'application/json' };
  const keepalive = body.length < MOST_AFTER_LEAVING;
  return ask(path, { method: 'POST', body, headers, keepalive, signal: AbortSignal.timeout(LOST_MS) });
}

function send<T>(path: string, body: object = {}, signal?: AbortSignal): Promise<T> {
  const headers = { 'content-type': 'application/json' };
  return ask(path, { method: 'POST', body: JSON.stringify(body), headers, signal });
}

async function ask<T>(path: string, init: Ask = {}): Promise<T> {
  const answer = await answerOf(path, init);
  try {
    const value: T = await answer.json();
    return value;
  } catch (error) {
    // Cut off on its way: the program was ended, or the page is being left.
    throw isAbort(error) ? error : new ApiProblem(NO_CONNECTION);
  }
}

async function done(path: string, init: Ask): Promise<void> {
  await answerOf(path, init);
}

const NO_CONNECTION: Problem = {
  code: 'no-connection',
  message: 'Wetline does not answer; expected it to run behind this window. If it was stopped, start it again.',
};

/** @throws ApiProblem, or the abort */
async function answerOf(path: string, { signal, ...init }: Ask): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(path, {
      ...init,
      headers: { ...init.headers, ...PROBLEMS_AS_ANSWERS },
      ...(signal && { signal }),
    });
  } catch (error) {
    if (isAbort(error)) throw error;
    throw new ApiProblem(NO_CONNECTION);
  }
  const status = Number(answer.headers.get(STATUS_HEADER) ?? answer.status);
  if (status >= 400) throw new ApiProblem(await problemIn(answer), status);
  return answer;
}

/** What the backend says, else what its status says. */
export async function problemIn(answer: Response): Promise<Problem> {
  try {
    const said: unknown = await answer.json();
    if (said !== null && typeof said === 'object' && 'message' in said && typeof said.message === 'string') {
      return { code: 'code' in said && typeof said.code === 'string' ? said.code : 'unknown', message: said.message };
    }
  } catch {
    // No JSON: a proxy's page or an empty body. The status has to do.
  }
  return {
    code: `status-${answer.status}`,
    message: `Wetline answered with status ${answer.status} and no reason; expected an answer. Try again.`,
  };
}
