/** Teachings of the card, one a scan: they go on while a person looks at something else. */
import { useSyncExternalStore } from 'react';
import type { Problem, TaughtCard } from '../../electron/backend/api.ts';
import { isAbort, problemOf, sendTeach } from '../api/client.ts';
import { refreshShelf } from '../api/store.ts';
import { noteBrought } from '../bring/justBrought.ts';
import { announce } from '../look/announce.ts';

export type Teaching =
  | { readonly state: 'never' }
  | { readonly state: 'running' }
  | { readonly state: 'taught'; readonly card: TaughtCard }
  | { readonly state: 'failed'; readonly problem: Problem };

const NEVER: Teaching = { state: 'never' };
const teachings = new Map<string, { shown: Teaching; readonly stop: AbortController }>();
const listeners = new Set<() => void>();

export function useTeaching(ink: number, scan: string): Teaching {
  return useSyncExternalStore(subscribe, () => teachings.get(`${ink}/${scan}`)?.shown ?? NEVER);
}

/** @param scans Further scans with the known target and the card. */
export async function teach(ink: number, scan: string, scans: readonly string[]): Promise<void> {
  const key = `${ink}/${scan}`;
  if (teachings.get(key)?.shown.state === 'running') return;
  const stop = new AbortController();
  const show = (shown: Teaching): void => {
    teachings.set(key, { shown, stop });
    for (const listener of listeners) listener();
  };
  show({ state: 'running' });
  try {
    const card = await sendTeach(ink, scan, { scans }, stop.signal);
    // The card with what it was just taught is what the next target is likely to be.
    noteBrought(card.reference.hash);
    noteBrought(card.layout);
    refreshShelf();
    show({ state: 'taught', card });
    announce('The card is taught; what it knows stands beside the target.');
  } catch (error) {
    if (isAbort(error)) show(NEVER);
    else show({ state: 'failed', problem: problemOf(error) });
  }
}

export function stopTeaching(ink: number, scan: string): void {
  teachings.get(`${ink}/${scan}`)?.stop.abort();
}

function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  return () => {
    listeners.delete(listener);
  };
}
