/** Measuring for the window: one job an ink, told and kept as it goes, joined when asked twice, stopped when asked to. */
import { randomUUID } from 'node:crypto';
import { setMaxListeners } from 'node:events';
import { availableParallelism } from 'node:os';
import type { Job, WindowEvent } from '../backend/api.ts';
import { calledNow } from '../library/firstId.ts';
import type { Library } from '../library/library.ts';
import { standingOf, type Standing, type StandingTarget } from '../answers/standing.ts';
import { byFirstIds } from './byFirstIds.ts';
import { type CalibrationProblem, Calibrations, type MadeCalibration } from './calibrations.ts';
import { contentKey } from './contentKey.ts';
import { FindingsKeeper } from './findingsKeeper.ts';
import { JobError } from './jobError.ts';
import { measurementSteps } from './measureSheet.ts';
import { measureStanding } from './measureStanding.ts';
import { MOST_PIXELS, PixelBudget } from './pixelBudget.ts';
import { PlainCopies } from './plainCopies.ts';
import { WorkerPool } from './pool.ts';
import { RememberingRunner } from './rememberingRunner.ts';
import { stepWords } from './stepWords.ts';
import type { StripRunner } from './stripTasks.ts';
import type { Task, TaskRunner } from './tasks.ts';
import type { Taught, TeachRequest } from './teach.ts';
import type { TeachRunner } from './teachTask.ts';
import type { HowStarted } from '../workerThread.ts';

type Pool = TaskRunner & TeachRunner & StripRunner & { warm?(): void; close(): Promise<void> };

export interface MeasuringOptions {
  /** @default as many as there are processors, two at most: each holds a region's pixels */
  readonly threads?: number;
  /** Threads are ended when nothing was asked of them for so long, ms. @default 20000 */
  readonly restAfterMs?: number;
  /** How a thread is started; a test's own. */
  readonly thread?: HowStarted;
  /** Who carries tasks out. @default worker threads of this process */
  readonly pool?: (threads: number) => Pool;
}

/** Events of a job at most this often, ms. */
const TELL_EVERY_MS = 100;
/** Finished jobs that can still be asked for. */
const REMEMBERED_JOBS = 50;

interface Running {
  job: Job;
  readonly stop: AbortController;
  /** Asked again after the work had changed: once more when done. */
  again: boolean;
  /** The document that is being measured, by content: findings alone are no change of it. */
  document: string;
  toldAt: number;
  ended: Promise<void>;
}

export class Measuring {
  readonly #library: Library;
  readonly #options: Required<Pick<MeasuringOptions, 'threads' | 'restAfterMs'>> &
    Pick<MeasuringOptions, 'thread' | 'pool'>;
  readonly #jobs = new Map<string, Running>();
  readonly #listeners = new Set<(event: WindowEvent) => void>();
  readonly #calibrations: Calibrations;
  #pool: { readonly workers: Pool; readonly runner: TaskRunner; close(): Promise<void> } | null = null;
  #users = 0;
  #rest: NodeJS.Timeout | null = null;
  #closed = false;

  constructor(library: Library, options: MeasuringOptions = {}) {
    this.#library = library;
    this.#options = { threads: Math.min(2, availableParallelism()), restAfterMs: 20_000, ...options };
    this.#calibrations = new Calibrations(library, (key) => this.#tellCalibrated(key));
  }

  /** Threads, and their process, are started already: work is about to come. */
  warm(): void {
    void this.#withPool((_runner, workers) => {
      workers.warm?.();
      return Promise.resolve();
    });
  }

  /**
   * Starts to measure an ink, or joins the job that does so already; one that was cancelled is none, and ends first.
   * What was measured before and still holds costs nothing.
   */
  start(ink: number): Job {
    const running = this.#runningOf(ink);
    const document = contentKey(this.#library.document(ink));
    if (running) {
      if (running.document !== document) running.again = true;
      return running.job;
    }
    const job: Job = {
      id: randomUUID(),
      ink,
      state: 'running',
      done: 0,
      total: 0,
      what: 'starting',
      measured: 0,
      kept: 0,
      problem: null,
    };
    const stop = new AbortController();
    setMaxListeners(0, stop.signal);
    const begun: Running = { job, stop, again: false, document, toldAt: 0, ended: Promise.resolve() };
    const cancelled = [...this.#jobs.values()].filter((r) => r.job.ink === ink).map((r) => r.ended);
    this.#jobs.set(job.id, begun);
    this.#forgetOld();
    begun.ended = this.#run(begun, cancelled);
    return begun.job;
  }

  cancel(job: string): void {
    const running = this.#jobs.get(job);
    if (running?.job.state === 'running') running.stop.abort(new DOMException('cancelled', 'AbortError'));
  }

  job(id: string): Job | null {
    return this.#jobs.get(id)?.job ?? null;
  }

  /** The one that runs now, else the last one of this ink since the program started. */
  jobOf(ink: number): Job | null {
    const jobs = [...this.#jobs.values()].filter((r) => r.job.ink === ink);
    return jobs.at(-1)?.job ?? null;
  }

  /** Resolves when the job has ended, however it did. */
  async ended(id: string): Promise<Job | null> {
    await this.#jobs.get(id)?.ended;
    return this.job(id);
  }

  /** @returns a function that ends the listening */
  onEvent(listener: (event: WindowEvent) => void): () => void {
    this.#listeners.add(listener);
    return () => void this.#listeners.delete(listener);
  }

  /** The calibration that serves a scan, made when it is not there yet; null: no target serves it. */
  async calibrate(
    ink: number,
    scan: string,
    signal?: AbortSignal,
  ): Promise<MadeCalibration | CalibrationProblem | null> {
    const standing = standingOf(this.#library, ink);
    const found = standing.scans.get(scan);
    if (found?.target) return this.calibration(standing, found.target, signal);
    return found?.problem ? { code: 'calibration-failed', problem: found.problem } : null;
  }

  /** The same by the target itself. */
  async calibration(
    standing: Standing,
    target: StandingTarget,
    signal?: AbortSignal,
  ): Promise<MadeCalibration | CalibrationProblem> {
    const { key } = target;
    const made = this.#calibrations.made(key);
    if (made) return made;
    const before = this.#calibrations.problem(key);
    if (before !== null) return before;
    try {
      await this.#withPool((pool) => this.#calibrations.make(target, this.#remembering(pool, standing), signal));
      return this.#calibrations.made(key)!;
    } catch (error) {
      if (error instanceof JobError) return { code: error.code, problem: error.message };
      throw error;
    }
  }

  /** The card's own reference from scans with a known target beside it. @throws JobError in the words of a person's names */
  async teach(request: TeachRequest, signal?: AbortSignal): Promise<Taught> {
    try {
      return await this.#withPool((_runner, workers) => workers.teach({ task: 'teach', ...request }, signal));
    } catch (error) {
      if (error instanceof JobError) throw new JobError(error.code, this.#inWords(error));
      throw error;
    }
  }

  /** What is asked about strips beyond measuring them. */
  strips<T>(ask: (runner: StripRunner) => Promise<T>): Promise<T> {
    return this.#withPool((_runner, workers) => ask(workers));
  }

  /** Already made; null: not yet. */
  madeCalibration(key: string): MadeCalibration | null {
    return this.#calibrations.made(key);
  }

  /** Why a calibration could not be made; null: nobody knows of a reason. */
  calibrationProblem(key: string): string | null {
    return this.#calibrations.problem(key)?.problem ?? null;
  }

  async close(): Promise<void> {
    this.#closed = true;
    for (const { job } of this.#jobs.values()) this.cancel(job.id);
    await Promise.all([...this.#jobs.values()].map((r) => r.ended));
    if (this.#rest) clearTimeout(this.#rest);
    await this.#pool?.close();
    this.#pool = null;
  }

  async #run(running: Running, before: readonly Promise<void>[]): Promise<void> {
    // After the caller has the job in hand: its first event is not older than its answer.
    await Promise.all(before);
    try {
      do {
        running.again = false;
        running.document = contentKey(this.#library.document(running.job.ink));
        const standing = standingOf(this.#library, running.job.ink);
        await this.#withPool((pool) => this.#measureOnce(running, standing, pool));
      } while (running.again && !running.stop.signal.aborted);
      this.#tell(running, { state: 'done', what: 'done' });
    } catch (error) {
      if (running.stop.signal.aborted) this.#tell(running, { state: 'cancelled', what: 'cancelled' });
      else this.#tell(running, { state: 'failed', what: 'failed', problem: this.#inWords(error) });
    }
  }

  async #measureOnce(running: Running, asCalled: Standing, pool: TaskRunner): Promise<void> {
    const { ink } = running.job;
    const { signal } = running.stop;
    const standing = byFirstIds(asCalled);
    const now = calledNow(asCalled.document.regions);
    const nameOf = (first: string): string => now?.(first).id ?? first;
    const keeper = new FindingsKeeper(this.#library, standing, (regions) =>
      this.#emit({ event: 'findings', ink, regions: regions.map(nameOf) }),
    );
    const runner = this.#remembering(pool, standing, (task, kept) => {
      const { measured, kept: keptBefore } = running.job;
      const what = stepWords(task.task === 'region' ? { ...task, id: nameOf(task.id) } : task);
      this.#tell(running, { what, measured: measured + (kept ? 0 : 1), kept: keptBefore + (kept ? 1 : 0) });
    });
    this.#tell(running, { done: 0, total: measurementSteps(standing.loaded), what: 'starting' });
    try {
      const outcome = await measureStanding(standing, runner, this.#calibrations, {
        signal,
        onProgress: (done, total) => this.#tell(running, { done, total }),
        onRegion: (result, task, key) => keeper.region(result, task, key),
        inWords: (error) => this.#inWords(error),
      });
      keeper.whole(outcome);
    } finally {
      keeper.close();
    }
  }

  #remembering(
    pool: TaskRunner,
    { scans }: Standing,
    onStep: (task: Task, kept: boolean) => void = () => {},
  ): RememberingRunner {
    const hashes = new Map([...scans.values()].flatMap(({ file }) => (file ? [[file.path, file.hash] as const] : [])));
    return new RememberingRunner(pool, this.#library, {
      hashOf: (path) => hashes.get(path) ?? path,
      onResult: (task, _key, kept) => onStep(task, kept),
    });
  }

  async #withPool<T>(work: (pool: TaskRunner, workers: Pool) => Promise<T>): Promise<T> {
    if (this.#closed) throw new JobError('closing', 'The program is closing; nothing more is measured.');
    if (this.#rest) clearTimeout(this.#rest);
    this.#rest = null;
    const { threads, thread, pool = (n: number): Pool => new WorkerPool(n, thread) } = this.#options;
    this.#pool ??= this.#opened(pool(threads));
    this.#users++;
    try {
      return await work(this.#pool.runner, this.#pool.workers);
    } finally {
      this.#users--;
      if (this.#users === 0 && !this.#closed) this.#restLater();
    }
  }

  #opened(workers: Pool) {
    const runner = new PlainCopies(new PixelBudget(workers, MOST_PIXELS));
    const close = async (): Promise<void> => {
      await workers.close();
      await runner.close();
    };
    return { workers, runner, close };
  }

  /** Idle threads hold memory; they are back within a second. */
  #restLater(): void {
    this.#rest = setTimeout(() => {
      const pool = this.#pool;
      this.#pool = null;
      void pool?.close();
    }, this.#options.restAfterMs).unref();
  }

  #tell(running: Running, change: Partial<Job>): void {
    const before = running.job;
    running.job = { ...before, ...change };
    const now = Date.now();
    const ended = running.job.state !== 'running';
    if (!ended && now - running.toldAt < TELL_EVERY_MS) return;
    running.toldAt = now;
    this.#emit({ event: 'job', job: running.job });
  }

  /** Whose pictures and words change by it. */
  #tellCalibrated(key: string): void {
    for (const { id } of this.#library.inks()) {
      const { targets } = standingOf(this.#library, id);
      if (targets.some((t) => t.key === key)) {
        this.#emit({ event: 'work', ink: id, revision: this.#library.revision(id), colours: true });
      }
    }
  }

  #emit(event: WindowEvent): void {
    for (const listener of this.#listeners) listener(event);
  }

  #runningOf(ink: number): Running | undefined {
    const isLive = ({ job, stop }: Running): boolean => job.state === 'running' && !stop.signal.aborted;
    return [...this.#jobs.values()].find((r) => r.job.ink === ink && isLive(r));
  }

  #forgetOld(): void {
    const over = [...this.#jobs.values()].filter((r) => r.job.state !== 'running').slice(0, -REMEMBERED_JOBS);
    for (const { job } of over) this.#jobs.delete(job.id);
  }

  /** One line, with the names that files had when they came in. */
  #inWords(error: unknown): string {
    const message = error instanceof Error ? error.message : String(error);
    return this.#library.named(message.split('\n', 1)[0]);
  }
}
