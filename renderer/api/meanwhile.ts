/** What came of two windows at work on one ink, to be told where it is open. */
import type { EditAnswer, Problem, Work } from '../../electron/backend/api.ts';
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

/** The work that an answer brought, once what it says besides is told. */
export function told(ink: number, { overtook, ...work }: EditAnswer): Work {
  if (overtook !== null) tellMeanwhile(ink, { words: overtook, undoes: true });
  return work;
}

export function tellNotKept(ink: number, { message }: Pick<Problem, 'message'>): void {
  tellMeanwhile(ink, { words: `A change could not be kept: ${message}`, undoes: false });
}

export function forgetMeanwhile(ink: number): void {
  said.drop(ink);
}
