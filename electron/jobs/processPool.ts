/**
 * Worker threads in a process of their own. What measuring takes of memory is never the serving process's, and goes back to the
 * system when that process ends; a crash of the image library costs a task and not the window.
 */
import { JobError } from './jobError.ts';
import { forkedJobs } from './forkedJobs.ts';
import type { JobsAnswer, JobsProcess, StartJobsProcess } from './processMessages.ts';
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

interface Pending {
  readonly settle: (answer: JobsAnswer) => void;
  readonly lost: () => void;
}

export class ProcessPool implements TaskRunner, TeachRunner, StripRunner {
  readonly #threads: number;
  readonly #start: StartJobsProcess;
  readonly #pending = new Map<number, Pending>();
  #process: { readonly jobs: JobsProcess; readonly ended: Promise<void> } | null = null;
  #lastId = 0;

  constructor(threads: number, start: StartJobsProcess = forkedJobs) {
    this.#threads = threads;
    this.#start = start;
  }

  calibrate(task: CalibrateTask, signal?: AbortSignal): Promise<CalibrateResult> {
    return this.#run(task, (r): r is CalibrateResult => has(r, 'calibration'), signal);
  }
  paper(task: PaperTask, signal?: AbortSignal): Promise<PaperResult> {
    return this.#run(task, (r): r is PaperResult => has(r, 'bare'), signal);
  }
  region(task: RegionTask, signal?: AbortSignal): Promise<RegionResult> {
    return this.#run(task, (r): r is RegionResult => has(r, 'quantities'), signal);
  }
  film(task: FilmTask, signal?: AbortSignal): Promise<FilmResult> {
    return this.#run(task, (r): r is FilmResult => has(r, 'inks'), signal);
  }
  overlay(task: OverlayTask, signal?: AbortSignal): Promise<Uint8Array> {
    return this.#run(task, (r): r is Uint8Array => r instanceof Uint8Array, signal);
  }

  teach(task: TeachTask, signal?: AbortSignal): Promise<Taught> {
    return this.#run(task, (r): r is Taught => has(r, 'reference'), signal);
  }
  straight(task: StraightTask, signal?: AbortSignal): Promise<StraightResult> {
    return this.#run(task, (r): r is StraightResult => has(r, 'png'), signal);
  }
  propose(task: ProposeTask, signal?: AbortSignal): Promise<ProposeResult> {
    return this.#run(task, (r): r is ProposeResult => has(r, 'strips'), signal);
  }
  dyesAlong(task: DyesAlongTask, signal?: AbortSignal): Promise<DyesAlongResult> {
    return this.#run(task, (r): r is DyesAlongResult => has(r, 'along'), signal);
  }
  dyesOver(task: DyesOverTask, signal?: AbortSignal): Promise<DyesOverResult> {
    return this.#run(task, (r): r is DyesOverResult => has(r, 'over'), signal);
  }

  /** Starts the process before there is work. */
  warm(): void {
    this.#process ??= this.#started();
  }

  async close(): Promise<void> {
    const running = this.#process;
    running?.jobs.kill();
    await running?.ended;
  }

  /** The other side answers each task with its own result (worker.ts). */
  #run<T>(
    task: Task | TeachTask | StripTask,
    isResult: (result: unknown) => result is T,
    signal?: AbortSignal,
  ): Promise<T> {
    return new Promise<T>((resolve, reject) => {
      if (signal?.aborted) return reject(reasonOf(signal));
      const { jobs } = (this.#process ??= this.#started());
      const id = ++this.#lastId;
      const stop = (): void => {
        this.#pending.delete(id);
        jobs.send({ id, stop: true });
        reject(reasonOf(signal));
      };
      const done = (): void => {
        this.#pending.delete(id);
        signal?.removeEventListener('abort', stop);
      };
      signal?.addEventListener('abort', stop, { once: true });
      this.#pending.set(id, {
        settle: (answer) => {
          done();
          if ('fault' in answer) reject(errorOf(answer.fault));
          else if (isResult(answer.result)) resolve(answer.result);
          else reject(new Error(`the process that measures answered a ${task.task} task with something else`));
        },
        lost: () => {
          done();
          reject(new JobError('worker-lost', 'its work ended without an answer (the process was lost); measure again'));
        },
      });
      jobs.send({ id, task });
    });
  }

  /** Anew after it was lost. */
  #started() {
    const jobs = this.#start(this.#threads);
    const ended = new Promise<void>((resolve) => {
      jobs.onExit(() => {
        if (this.#process?.jobs === jobs) this.#process = null;
        for (const { lost } of this.#pending.values()) lost();
        resolve();
      });
    });
    jobs.onAnswer((answer) => this.#pending.get(answer.id)?.settle(answer));
    return { jobs, ended };
  }
}

function has(result: unknown, key: string): boolean {
  return typeof result === 'object' && result !== null && key in result;
}

function errorOf({ code, message }: { readonly code: string | null; readonly message: string }): Error {
  return code === null ? new Error(message) : new JobError(code, message);
}

function reasonOf(signal: AbortSignal | undefined): Error {
  return signal?.reason instanceof Error ? signal.reason : new DOMException('stopped', 'AbortError');
}
