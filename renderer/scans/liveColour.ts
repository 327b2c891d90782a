/** What lies under the pointer, for the one panel that shows it: kept outside React's state, since a mouse moves often. */
import { useSyncExternalStore } from 'react';
import type { LabValue } from '../../analysis/quantity.ts';

export interface LiveColour {
  readonly scan: string;
  readonly lab: LabValue;
}

let now: LiveColour | null = null;
const listeners = new Set<() => void>();

export function showLiveColour(colour: LiveColour | null): void {
  if (colour === null && now === null) return;
  now = colour;
  for (const listener of listeners) listener();
}

export function useLiveColour(): LiveColour | null {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
    () => now,
  );
}
