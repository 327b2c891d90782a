/** Work in turns, a few at a time, first come first served. What is no longer wanted leaves the queue; what runs is left to end. */
export class Turns {
  readonly #atOnce: number;
  readonly #waiting: (() => void)[] = [];
  #running = 0;

  constructor(atOnce: number) {
    this.#atOnce = atOnce;
  }

  /** @throws what `signal` was aborted with, whether it waited or ran; `work` then may still be running. */
  async take<T>(work: () => Promise<T>, signal?: AbortSignal): Promise<T> {
    signal?.throwIfAborted();
    if (this.#running >= this.#atOnce) await this.#place(signal);
    else this.#running++;
    const done = work().finally(() => this.#pass());
    return signal ? await untilAborted(done, signal) : await done;
  }

  /** Waits for a place that another one hands over. */
  async #place(signal?: AbortSignal): Promise<void> {
    await new Promise<void>((resolve, reject) => {
      const turn = (): void => {
        signal?.removeEventListener('abort', leave);
        resolve();
      };
      const leave = (): void => {
        this.#waiting.splice(this.#waiting.indexOf(turn), 1);
        reject(reasonOf(signal));
      };
      this.#waiting.push(turn);
      signal?.addEventListener('abort', leave, { once: true });
    });
  }

  #pass(): void {
    const next = this.#waiting.shift();
    if (next) next();
    else this.#running--;
  }
}

/** The answer, or the abort if that comes first. */
export async function untilAborted<T>(work: Promise<T>, signal: AbortSignal): Promise<T> {
  signal.throwIfAborted();
  return new Promise<T>((resolve, reject) => {
    const abort = (): void => reject(reasonOf(signal));
    signal.addEventListener('abort', abort, { once: true });
    work.then(resolve, reject).finally(() => signal.removeEventListener('abort', abort));
  });
}

function reasonOf(signal?: AbortSignal): Error {
  const reason: unknown = signal?.reason;
  return reason instanceof Error ? reason : new Error('no longer wanted');
}
