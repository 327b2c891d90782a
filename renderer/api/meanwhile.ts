/** What came of two windows at work on one ink, to be told where it is open. */
import { Kept, useKept } from './kept.ts';

export interface Meanwhile {
  readonly words: string;
  /** Whether undo brings back what the other window did. */
  readonly undoes: boolean;
}

const said = new Kept<number, Meanwhile | null>(null);

/** Null: nothing, or it was read. */
export function useMeanwhile(ink: number): Meanwhile | null {
  return useKept(said, ink);
}

export function tellMeanwhile(ink: number, next: Meanwhile): void {
  said.put(ink, next);
}

export function forgetMeanwhile(ink: number): void {
  said.drop(ink);
}
