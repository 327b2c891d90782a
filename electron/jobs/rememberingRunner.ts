/** Carries out only what was never carried out before: a task's key says all that its result depends on. */
import type { ScanInfo } from '../scans/scanInfo.ts';
import { contentKey, once } from './contentKey.ts';
import { pack, unpack } from './packed.ts';
import type {
  CalibrateResult,
  CalibrateTask,
  FilmResult,
  FilmTask,
  OverlayTask,
  PaperResult,
  PaperTask,
  RegionResult,
  RegionTask,
  Task,
  TaskRunner,
} from './tasks.ts';
import { versionOf } from './methodVersions.ts';

/** Where results outlive the process (the library is one). */
export interface ResultStore {
  recall(key: string): Uint8Array | null;
  remember(key: string, kind: string, bytes: Uint8Array): void;
}

export interface RememberingOptions {
  /** What is in a scan's file: its SHA-256. Files of one content share their results. */
  readonly hashOf: (file: string) => string;
  /** Told after each task, whether it was carried out or recalled. */
  readonly onResult?: (task: Task, key: string, kept: boolean) => void;
}

export class RememberingRunner implements TaskRunner {
  readonly #runner: TaskRunner;
  readonly #store: ResultStore;
  readonly #options: RememberingOptions;

  constructor(runner: TaskRunner, store: ResultStore, options: RememberingOptions) {
    this.#runner = runner;
    this.#store = store;
    this.#options = options;
  }

  calibrate(task: CalibrateTask, signal?: AbortSignal): Promise<CalibrateResult> {
    return this.#once(task, signal, () => this.#runner.calibrate(task, signal), isCalibration);
  }
  paper(task: PaperTask, signal?: AbortSignal): Promise<PaperResult> {
    return this.#once(task, signal, () => this.#runner.paper(task, signal), isPaper);
  }
  region(task: RegionTask, signal?: AbortSignal): Promise<RegionResult> {
    return this.#once(task, signal, () => this.#runner.region(task, signal), isRegion);
  }
  film(task: FilmTask, signal?: AbortSignal): Promise<FilmResult> {
    return this.#once(task, signal, () => this.#runner.film(task, signal), isFilm);
  }
  /** A picture is drawn anew: it is large, and quick beside what it shows. */
  overlay(task: OverlayTask, signal?: AbortSignal): Promise<Uint8Array> {
    return this.#runner.overlay(task, signal);
  }

  keyOf(task: Task): string {
    return taskKey(task, this.#options.hashOf);
  }

  async #once<T>(
    task: Task,
    signal: AbortSignal | undefined,
    carryOut: () => Promise<T>,
    isOne: (value: unknown) => value is T,
  ): Promise<T> {
    signal?.throwIfAborted();
    const key = this.keyOf(task);
    const kept = await recalled(this.#store, key, isOne);
    signal?.throwIfAborted();
    const result = kept ?? (await carryOut());
    if (kept === null) this.#store.remember(key, task.task, await pack(result));
    this.#options.onResult?.(task, key, kept !== null);
    return result;
  }
}

/** By content: a scan that was renamed, moved or stored anew is the same scan. */
export function taskKey(task: Task, hashOf: (file: string) => string): string {
  const white =
    'white' in task && task.white ? { white: { ...task.white, info: content(task.white.info, hashOf) } } : {};
  const info = 'info' in task ? { info: content(task.info, hashOf) } : {};
  const calibration = 'calibration' in task ? { calibration: once(task.calibration) } : {};
  return contentKey({
    version: versionOf(task),
    ...task,
    ...white,
    ...frontByContent(task, hashOf),
    ...info,
    ...calibration,
  });
}

/** A reverse's front is another scan. */
function frontByContent(task: Task, hashOf: (file: string) => string) {
  if (task.task !== 'region' || task.measure.kind !== 'reverse' || task.measure.front === null) return {};
  const { front } = task.measure;
  return { measure: { ...task.measure, front: { ...front, info: content(front.info, hashOf) } } };
}

function content(info: ScanInfo, hashOf: (file: string) => string) {
  const { file, widthPx, heightPx, bits, channels, iccHash, format, pages } = info;
  return { hash: hashOf(file), widthPx, heightPx, bits, channels, iccHash, format, pages };
}

/** What was remembered of a region; null when nothing was. */
export function recalledRegion(store: ResultStore, key: string): Promise<RegionResult | null> {
  return recalled(store, key, isRegion);
}

/** Null also when it cannot be read any more: it is then measured again. */
async function recalled<T>(store: ResultStore, key: string, isOne: (value: unknown) => value is T): Promise<T | null> {
  const bytes = store.recall(key);
  if (bytes === null) return null;
  try {
    const value = await unpack(bytes);
    return isOne(value) ? value : null;
  } catch {
    return null;
  }
}

// The key names task and version, so a result of one kind is never of an older shape: a field that only it has is enough.
function isCalibration(value: unknown): value is CalibrateResult {
  return typeof value === 'object' && value !== null && 'calibration' in value;
}
function isPaper(value: unknown): value is PaperResult {
  return typeof value === 'object' && value !== null && 'bare' in value;
}
function isFilm(value: unknown): value is FilmResult {
  return typeof value === 'object' && value !== null && 'inks' in value;
}
function isRegion(value: unknown): value is RegionResult {
  return typeof value === 'object' && value !== null && 'quantities' in value;
}
