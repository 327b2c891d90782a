/** Carries out only what was never carried out before: a task's key says all that its result depends on. */
import { contentKey } from './contentKey.ts';
import { pack, unpack } from './packed.ts';
import type {
  CalibrateResult,
  CalibrateTask,
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
    return this.#once(task, signal, () => this.#runner.calibrate(task, signal));
  }
  paper(task: PaperTask, signal?: AbortSignal): Promise<PaperResult> {
    return this.#once(task, signal, () => this.#runner.paper(task, signal));
  }
  region(task: RegionTask, signal?: AbortSignal): Promise<RegionResult> {
    return this.#once(task, signal, () => this.#runner.region(task, signal));
  }
  /** A picture is drawn anew: it is large, and quick beside what it shows. */
  overlay(task: OverlayTask, signal?: AbortSignal): Promise<Uint8Array> {
    return this.#runner.overlay(task, signal);
  }

  async #once<T extends object>(task: Task, signal: AbortSignal | undefined, carryOut: () => Promise<T>): Promise<T> {
    signal?.throwIfAborted();
    const key = taskKey(task, this.#options.hashOf);
    const kept = await recalled<T>(this.#store, key);
    signal?.throwIfAborted();
    const result = kept ?? (await carryOut());
    if (kept === null) this.#store.remember(key, task.task, await pack(result));
    this.#options.onResult?.(task, key, kept !== null);
    return result;
  }
}

/** By content: a scan that was renamed, moved or stored anew is the same scan. */
export function taskKey(task: Task, hashOf: (file: string) => string): string {
  const { file, widthPx, heightPx, bits, channels, iccHash, format, pages } = task.info;
  const scan = { hash: hashOf(file), widthPx, heightPx, bits, channels, iccHash, format, pages };
  return contentKey({ version: versionOf(task), ...task, info: scan });
}

/** What was remembered under a key; null when nothing was, or when it cannot be read any more: it is then measured again. */
export async function recalled<T extends object>(store: ResultStore, key: string): Promise<T | null> {
  const bytes = store.recall(key);
  if (bytes === null) return null;
  try {
    const value = await unpack(bytes);
    return isResult<T>(value) ? value : null;
  } catch {
    return null;
  }
}

/** Only results are stored, each under a key that names its task and version; this is the one place where that is relied on. */
function isResult<T extends object>(value: unknown): value is T {
  return typeof value === 'object' && value !== null;
}
