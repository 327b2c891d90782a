/** What came of two windows at work on one ink, to be told where it is open. */
import { useSyncExternalStore } from 'react';

export interface Meanwhile {
  readonly words: string;
  /** Whether undo brings back what the other window did. */
  readonly undoes: boolean;
}

const said = new Map<number, Meanwhile>();
const listeners = new Set<() => void>();

/** Null: nothing, or it was read. */
export function useMeanwhile(ink: number): Meanwhile | null {
  return useSyncExternalStore(subscribe, () => said.get(ink) ?? null);
}

export function tellMeanwhile(ink: number, next: Meanwhile): void {
  said.set(ink, next);
  tell();
}

export function forgetMeanwhile(ink: number): void {
  if (said.delete(ink)) tell();
}

function tell(): void {
  for (const listener of listeners) listener();
}

function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  return () => {
    listeners.delete(listener);
  };
}
