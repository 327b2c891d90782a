/** Inks taken off the shelf in this session: each keeps its place there until its notice is dismissed, so that it can be put back. */
import { useSyncExternalStore } from 'react';
import type { InkCard, Problem } from '../../electron/backend/api.ts';
import { forgetInk } from '../address/useAddress.ts';
import { ApiProblem, problemOf, removeInk, restoreInk } from '../api/client.ts';
import { refreshShelf } from '../api/store.ts';

export interface RemovedInk {
  readonly card: InkCard;
  /** Its place among the inks. */
  readonly at: number;
}

let removed: readonly RemovedInk[] = [];
const listeners = new Set<() => void>();

export function useRemovedInks(): readonly RemovedInk[] {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
    () => removed,
  );
}

export async function takeOff(card: InkCard, at: number): Promise<Problem | null> {
  try {
    await removeInk(card.id);
  } catch (error) {
    // Off already: another window did it, or this one, and the answer got lost.
    if (!(error instanceof ApiProblem && error.code === 'no-such-ink')) return problemOf(error);
  }
  removed = [...removed.filter((r) => r.card.id !== card.id), { card, at }];
  forgetInk(card.id);
  tell();
  refreshShelf();
  return null;
}

export async function putBack(ink: number): Promise<Problem | null> {
  try {
    await restoreInk(ink);
  } catch (error) {
    return problemOf(error);
  }
  forget(ink);
  refreshShelf();
  return null;
}

export function forget(ink: number): void {
  removed = removed.filter((r) => r.card.id !== ink);
  tell();
}

/** The inks with the removed ones at their old places. */
export function placesOf(
  inks: readonly InkCard[],
  gone: readonly RemovedInk[],
): readonly { readonly card: InkCard; readonly isRemoved: boolean }[] {
  const places = inks
    .filter(({ id }) => !gone.some((r) => r.card.id === id))
    .map((card) => ({ card, isRemoved: false }));
  for (const { card, at } of [...gone].sort((a, b) => a.at - b.at)) {
    places.splice(Math.min(at, places.length), 0, { card, isRemoved: true });
  }
  return places;
}

function tell(): void {
  for (const listener of listeners) listener();
}
