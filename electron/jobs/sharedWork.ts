/** One piece of work that several wait for: carried out once, and stopped when nobody waits for it any more. */
export class SharedWork<T> {
  readonly #running = new Map<
    string,
    { readonly stop: AbortController; readonly result: Promise<T>; waiting: number }
  >();

  /** Joins the work of this key, or begins it. Rejects as soon as `signal` aborts; others go on waiting. */
  async wait(key: string, begin: (signal: AbortSignal) => Promise<T>, signal?: AbortSignal): Promise<T> {
    signal?.throwIfAborted();
    const shared = this.#running.get(key) ?? this.#begin(key, begin);
    shared.waiting++;
    try {
      return await (signal ? Promise.race([shared.result, aborted(signal)]) : shared.result);
    } finally {
      shared.waiting--;
      if (shared.waiting === 0 && this.#running.get(key) === shared) {
        this.#running.delete(key);
        shared.stop.abort(signal?.reason);
      }
    }
  }

  #begin(key: string, begin: (signal: AbortSignal) => Promise<T>) {
    const stop = new AbortController();
    const result = begin(stop.signal);
    // Whoever waits hears of it; a failure after all have left is nobody's.
    result.catch(() => {});
    const shared = { stop, result, waiting: 0 };
    this.#running.set(key, shared);
    return shared;
  }
}

function aborted(signal: AbortSignal): Promise<never> {
  return new Promise((_, reject) => {
    signal.addEventListener('abort', () => reject(asError(signal.reason)), { once: true });
  });
}

function asError(reason: unknown): Error {
  return reason instanceof Error ? reason : new Error(String(reason));
}
