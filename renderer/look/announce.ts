/** What is said by the way: read out by screen readers and shown for a moment at the foot of the window. */
import { useSyncExternalStore } from 'react';

export interface Said {
  readonly text: string;
  /** Tells two same sentences apart. */
  readonly count: number;
}

let said: Said = { text: '', count: 0 };
const listeners = new Set<() => void>();

export function announce(text: string): void {
  said = { text, count: said.count + 1 };
  for (const listener of listeners) listener();
}

export function useSaid(): Said {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
    () => said,
  );
}
