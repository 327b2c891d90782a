/** Ctrl-C while work goes on, or a terminal that is closed: stops it cleanly, so that no half-written file stays; a second time it stops at once. */

import { setMaxListeners } from 'node:events';

const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

export class Interrupted extends Error {
  override readonly name = 'Interrupted';
}

export async function interruptible<T>(work: (signal: AbortSignal) => Promise<T>): Promise<T> {
  const stop = new AbortController();
  // Every task of the worker pool listens to it; that many are no leak.
  setMaxListeners(0, stop.signal);
  const onSignal = (): void => stop.abort(new Interrupted('stopped'));
  for (const name of SIGNALS) process.once(name, onSignal);
  try {
    return await work(stop.signal);
  } catch (error) {
    if (stop.signal.aborted) throw stop.signal.reason;
    throw error;
  } finally {
    for (const name of SIGNALS) process.off(name, onSignal);
  }
}
