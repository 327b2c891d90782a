/** Ctrl-C while work goes on: stops it cleanly, so that no half-written file stays; a second time it stops at once. */

import { setMaxListeners } from 'node:events';

export class Interrupted extends Error {
  override readonly name = 'Interrupted';
}

export async function interruptible<T>(work: (signal: AbortSignal) => Promise<T>): Promise<T> {
  const stop = new AbortController();
  // Every task of the worker pool listens to it; that many are no leak.
  setMaxListeners(0, stop.signal);
  const onSignal = (): void => stop.abort(new Interrupted('stopped'));
  process.once('SIGINT', onSignal);
  process.once('SIGTERM', onSignal);
  try {
    return await work(stop.signal);
  } catch (error) {
    if (stop.signal.aborted) throw stop.signal.reason;
    throw error;
  } finally {
    process.off('SIGINT', onSignal);
    process.off('SIGTERM', onSignal);
  }
}
