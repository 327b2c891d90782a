/** Regions as a page draws them: those of the work, with what a person is making of them. */
import { useEffect, useMemo } from 'react';
import type { SheetRegion, Work } from '../../electron/backend/api.ts';
import { useKept } from '../api/kept.ts';
import { regionDrafts, type RegionProblem, regionProblems, regionsInHand } from './regionsInHand.ts';
import { nowCalled } from './renamed.ts';

export interface RegionDrafts {
  /** The work's regions with what is being changed. */
  readonly regions: readonly SheetRegion[];
  readonly problem: RegionProblem | null;
  /** Shows changed regions without sending them. */
  preview(changed: readonly SheetRegion[]): void;
  /** Sends what is shown. While a region is on its way its later states wait, and the last of them follows. */
  save(): void;
  /** Gives up what is shown and was not sent. */
  drop(): void;
  /** @returns whether it was taken. */
  add(region: SheetRegion): Promise<boolean>;
  /** @param make From the region as it is by then, with all that was done to it before. @returns whether it was taken. */
  change(id: string, make: (now: SheetRegion) => SheetRegion): Promise<boolean>;
  remove(ids: readonly string[]): void;
  say(problem: RegionProblem | null): void;
}

export function useRegionDrafts(ink: number, work: Work): RegionDrafts {
  const drafts = useKept(regionDrafts, ink);
  const problem = useKept(regionProblems, ink);
  const inHand = regionsInHand(ink);
  useEffect(() => {
    // What waits when the window closes or the page is left is not lost.
    const leave = (): void => {
      inHand.save();
      inHand.sendFollowing();
    };
    addEventListener('pagehide', leave);
    return () => {
      removeEventListener('pagehide', leave);
      leave();
      // It was read; what is refused from now on is told when the page is seen again.
      inHand.say(null);
    };
  }, [inHand]);

  return useMemo((): RegionDrafts => {
    const isThere = (id: string): boolean => work.regions.some(({ region }) => region.id === id);
    const shown = new Map(
      [...drafts.made, ...drafts.inHand].map(([id, { region }]): [string, SheetRegion] => {
        const name = nowCalled(ink, 'region', id, isThere);
        // A new name shows once the library has it: all else knows the region by the old one until then.
        return [name, region.id === name ? region : { ...region, id: name }];
      }),
    );
    const added = [...shown.values()].filter(({ id }) => !isThere(id));
    const regions = [...work.regions.map(({ region }) => shown.get(region.id) ?? region), ...added].filter(
      ({ id }) => !drafts.leaving.has(id),
    );
    const drawn = { regions, revision: work.revision };
    return {
      regions,
      problem,
      preview: (changed) => inHand.preview(changed, drawn),
      save: () => inHand.save(),
      drop: () => inHand.drop(),
      add: async (region) => inHand.add(region),
      change: async (id, make) => inHand.change(id, make, drawn),
      remove: (ids) => inHand.remove(ids),
      say: (next) => inHand.say(next),
    };
  }, [work, drafts, problem, inHand, ink]);
}
