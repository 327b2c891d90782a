/** Teachings of the card, one a scan: they go on while a person looks at something else. */
import type { Problem, TaughtCard } from '../../electron/backend/api.ts';
import { isAbort, problemOf, sendTeach } from '../api/client.ts';
import { Kept, useKept } from '../api/kept.ts';
import { refreshShelf } from '../api/store.ts';
import { noteBrought } from '../bring/justBrought.ts';
import { announce } from '../look/announce.ts';

export type Teaching =
  | { readonly state: 'never' }
  | { readonly state: 'running' }
  | { readonly state: 'taught'; readonly card: TaughtCard }
  | { readonly state: 'failed'; readonly problem: Problem };

const NEVER: Teaching = { state: 'never' };
const teachings = new Kept<string, Teaching>(NEVER);
const stops = new Map<string, AbortController>();

export function useTeaching(ink: number, scan: string): Teaching {
  return useKept(teachings, `${ink}/${scan}`);
}

/** @param scans Further scans with the known target and the card. */
export async function teach(ink: number, scan: string, scans: readonly string[]): Promise<void> {
  const key = `${ink}/${scan}`;
  if (teachings.get(key).state === 'running') return;
  const stop = new AbortController();
  stops.set(key, stop);
  teachings.put(key, { state: 'running' });
  try {
    const card = await sendTeach(ink, scan, { scans }, stop.signal);
    // The card with what it was just taught is what the next target is likely to be.
    noteBrought(card.reference.hash);
    noteBrought(card.layout);
    refreshShelf();
    teachings.put(key, { state: 'taught', card });
    announce('The card is taught; what it knows stands beside the target.');
  } catch (error) {
    teachings.put(key, isAbort(error) ? NEVER : { state: 'failed', problem: problemOf(error) });
  }
}

export function stopTeaching(ink: number, scan: string): void {
  stops.get(`${ink}/${scan}`)?.abort();
}
