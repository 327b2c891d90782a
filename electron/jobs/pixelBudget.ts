/** Lets tasks through as long as their pixels find room together: two small regions side by side, a large one alone. */
import { machineMemoryBytes, refuseTooLarge } from './largeRegion.ts';
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
  TaskRunner,
} from './tasks.ts';

/** Of regions under way at a time: at some 70 bytes each what measures stays below a gigabyte, unless a single region is larger (largeRegion.ts). */
export const MOST_PIXELS = 7e6;
/** What a task that streams its pixels by holds, in pixels of a region (which take some 70 bytes each while measured). */
const STREAMED_PX = 1.5e6;

interface Waiting {
  readonly pixels: number;
  readonly go: () => void;
}

export class PixelBudget implements TaskRunner {
  readonly #runner: TaskRunner;
  readonly #mostPx: number;
  readonly #memoryBytes: number;
  #takenPx = 0;
  readonly #queue = new Set<Waiting>();

  /**
   * @param mostPx Pixels under way at a time; a task of more than that waits until it is alone.
   * @param memoryBytes A region that would need more of it is refused.
   */
  constructor(runner: TaskRunner, mostPx: number, memoryBytes = machineMemoryBytes()) {
    this.#runner = runner;
    this.#mostPx = mostPx;
    this.#memoryBytes = memoryBytes;
  }

  calibrate(task: CalibrateTask, signal?: AbortSignal): Promise<CalibrateResult> {
    return this.#within(STREAMED_PX, signal, () => this.#runner.calibrate(task, signal));
  }
  paper(task: PaperTask, signal?: AbortSignal): Promise<PaperResult> {
    return this.#within(STREAMED_PX, signal, () => this.#runner.paper(task, signal));
  }
  async region(task: RegionTask, signal?: AbortSignal): Promise<RegionResult> {
    refuseTooLarge(task, this.#memoryBytes);
    const [, , width, height] = task.boxPx;
    return this.#within(width * height, signal, () => this.#runner.region(task, signal));
  }
  /** Without pixels. */
  film(task: FilmTask, signal?: AbortSignal): Promise<FilmResult> {
    return this.#within(0, signal, () => this.#runner.film(task, signal));
  }
  overlay(task: OverlayTask, signal?: AbortSignal): Promise<Uint8Array> {
    return this.#within(this.#mostPx, signal, () => this.#runner.overlay(task, signal));
  }

  async #within<T>(pixels: number, signal: AbortSignal | undefined, work: () => Promise<T>): Promise<T> {
    await this.#room(pixels, signal);
    try {
      return await work();
    } finally {
      this.#takenPx -= pixels;
      this.#letThrough();
    }
  }

  /** In the order of asking, so that a large task is not passed over for ever. */
  #room(pixels: number, signal: AbortSignal | undefined): Promise<void> {
    return new Promise((resolve, reject) => {
      const waiting: Waiting = {
        pixels,
        go: () => {
          signal?.removeEventListener('abort', leave);
          resolve();
        },
      };
      const leave = (): void => {
        this.#queue.delete(waiting);
        reject(signal?.reason instanceof Error ? signal.reason : new Error('stopped'));
        this.#letThrough();
      };
      if (signal?.aborted) return leave();
      signal?.addEventListener('abort', leave, { once: true });
      this.#queue.add(waiting);
      this.#letThrough();
    });
  }

  #letThrough(): void {
    for (const waiting of this.#queue) {
      if (this.#takenPx > 0 && this.#takenPx + waiting.pixels > this.#mostPx) return;
      this.#queue.delete(waiting);
      this.#takenPx += waiting.pixels;
      waiting.go();
    }
  }
}
