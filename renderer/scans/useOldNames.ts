/** An address that was kept from before a rename, a bookmark or another tab's link, still leads to the thing: the library knows its new name. */
import { useEffect } from 'react';
import type { Work } from '../../electron/backend/api.ts';
import { useCurrentAddress } from '../address/useAddress.ts';
import { getNameNow } from '../api/client.ts';
import { followRename, type Named, namesIn, noteRename, nowRegion, nowScan } from './renamed.ts';

/** Each is asked for once. */
const asked = new Set<string>();

export function useOldNames(work: Work | null): void {
  const address = useCurrentAddress();
  useEffect(() => {
    if (work === null || address.ink !== work.ink.id) return;
    const { id: ink } = work.ink;
    const there = {
      scan: (name: string) => work.scans.some(({ id }) => id === nowScan(ink, name)),
      region: (name: string) => work.regions.some(({ region }) => region.id === nowRegion(ink, name)),
    };
    const whats: readonly Named[] = ['scan', 'region'];
    for (const what of whats) {
      for (const name of namesIn(address, what)) {
        if (name === '') continue;
        if (!there[what](name)) void ask(ink, what, name);
        // Pages find regions by what this tab knows; a finding's key they take as it stands.
        else if (what === 'region' && address.query['finding'] !== undefined) {
          followRename(ink, what, name, nowRegion(ink, name));
        }
      }
    }
  }, [work, address]);
}

async function ask(ink: number, what: Named, name: string): Promise<void> {
  const key = JSON.stringify([ink, what, name]);
  if (asked.has(key)) return;
  asked.add(key);
  try {
    const now = await getNameNow(ink, what === 'scan' ? 'scans' : 'regions', name);
    if (now === name) return;
    noteRename(ink, what, name, now);
    followRename(ink, what, name, now);
  } catch {
    asked.delete(key);
  }
}
