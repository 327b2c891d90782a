import { availableParallelism } from 'node:os';
import { setFlagsFromString } from 'node:v8';
import { Piscina } from 'piscina';
import { JobError } from './jobError.ts';
import type {
  DyesAlongResult,
  DyesAlongTask,
  DyesOverResult,
  DyesOverTask,
  ProposeResult,
  ProposeTask,
  StraightResult,
  StraightTask,
  StripRunner,
  StripTask,
} from './stripTasks.ts';
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
import type { Taught } from './teach.ts';
import type { TeachRunner, TeachTask } from './teachTask.ts';
import { type HowStarted, workerThread } from '../workerThread.ts';

/** How a thread's end is told that nobody asked for. */
const LOST = /worker exited|out of memory/i;

/** Short-lived numbers of a fit fill whatever a thread gives them before it looks for room: a third of what is usual costs no time. */
const YOUNG_MB = 12;

/** Read while threads run, so that they may be set here: what marks objects beside them may not be turned off in a process that has begun to. */
const BUSY_THREADS = [
  // Each thread is as busy as its core: what compiles beside it waits for room, and meanwhile it runs what is not compiled yet. A sixth of the processor's time.
  '--no-concurrent-recompilation',
  // A thread lives for seconds, and a quarter of its first region goes into compiling: later and with less put into each function is a tenth faster.
  '--interrupt-budget=270336',
  '--max-inlined-bytecode-size-cumulative=300',
  // Pixels count as if they lay on the heap of ten megabytes, which was searched through for each twenty of them: freeRoom.ts knows better when.
  '--heap-growing-percent=3000',
  // Little of what is young lives: one finds it as soon as four that wake each other.
  '--no-parallel-scavenge',
];

/** Worker threads for all work on pixels; closed by whoever opened it. */
export class WorkerPool implements TaskRunner, TeachRunner, StripRunner {
  readonly #piscina: Piscina;

  constructor(threads = availableParallelism(), thread: HowStarted = workerThread('jobs')) {
    for (const flag of BUSY_THREADS) setFlagsFromString(flag);
    this.#piscina = new Piscina({
      ...thread,
      // All at once: the pool adds a thread only when work has queued up, which a sheet's few tasks never make it do.
      minThreads: Math.max(1, threads),
      maxThreads: Math.max(1, threads),
      idleTimeout: 2000,
      resourceLimits: { maxYoungGenerationSizeMb: YOUNG_MB },
    });
  }

  calibrate(task: CalibrateTask, signal?: AbortSignal): Promise<CalibrateResult> {
    return this.#run<CalibrateResult>(task, signal);
  }
  paper(task: PaperTask, signal?: AbortSignal): Promise<PaperResult> {
    return this.#run<PaperResult>(task, signal);
  }
  region(task: RegionTask, signal?: AbortSignal): Promise<RegionResult> {
    return this.#run<RegionResult>(task, signal);
  }
  film(task: FilmTask, signal?: AbortSignal): Promise<FilmResult> {
    return this.#run<FilmResult>(task, signal);
  }
  overlay(task: OverlayTask, signal?: AbortSignal): Promise<Uint8Array> {
    return this.#run<Uint8Array>(task, signal);
  }
  teach(task: TeachTask, signal?: AbortSignal): Promise<Taught> {
    return this.#run<Taught>(task, signal);
  }
  straight(task: StraightTask, signal?: AbortSignal): Promise<StraightResult> {
    return this.#run<StraightResult>(task, signal);
  }
  propose(task: ProposeTask, signal?: AbortSignal): Promise<ProposeResult> {
    return this.#run<ProposeResult>(task, signal);
  }
  dyesAlong(task: DyesAlongTask, signal?: AbortSignal): Promise<DyesAlongResult> {
    return this.#run<DyesAlongResult>(task, signal);
  }
  dyesOver(task: DyesOverTask, signal?: AbortSignal): Promise<DyesOverResult> {
    return this.#run<DyesOverResult>(task, signal);
  }

  async close(): Promise<void> {
    await this.#piscina.destroy();
  }

  /** The worker's switch (worker.ts) answers each task with its own result; the pool itself knows of no types. */
  async #run<T>(task: Task | TeachTask | StripTask, signal?: AbortSignal): Promise<T> {
    try {
      const result: T = await this.#piscina.run(task, signal ? { signal } : {});
      return result;
    } catch (error) {
      const lost = error instanceof Error && LOST.test(error.message);
      if (!lost || signal?.aborted) throw fromThread(error);
      // The pool has put another thread in its place: whatever else waits goes on.
      throw new JobError('worker-lost', `its work ended without an answer (${error.message}); measure again`);
    }
  }
}

/** A JobError that was thrown in a thread arrives as a plain Error with its code for a cause. */
function fromThread(error: unknown): unknown {
  if (!(error instanceof Error) || error instanceof JobError || typeof error.cause !== 'string') return error;
  return new JobError(error.cause, error.message);
}
