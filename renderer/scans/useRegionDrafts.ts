/** Regions as the person is making them: shown at once, sent at the end of a move, put back when they cannot stay. */
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { Edit, SheetRegion, Work, WorkScan } from '../../electron/backend/api.ts';
import { edit } from '../api/store.ts';
import { offScan } from './regionGeometry.ts';
import { scanSizeMm } from './scanMeasures.ts';

export interface RegionProblem {
  readonly id: string;
  readonly message: string;
}

export interface RegionDrafts {
  /** The work's regions with what is being changed. */
  readonly regions: readonly SheetRegion[];
  readonly problem: RegionProblem | null;
  /** Shows changed regions without sending them. */
  preview(changed: readonly SheetRegion[]): void;
  /** Sends what is shown. While a region is on its way its later states wait, and the last of them follows. */
  save(): void;
  /** Back to what the library has. */
  drop(): void;
  /** @returns whether it was taken. */
  add(region: SheetRegion): Promise<boolean>;
  change(id: string, region: SheetRegion): Promise<boolean>;
  remove(ids: readonly string[]): void;
  say(problem: RegionProblem | null): void;
}

type Change = Extract<Edit, { edit: 'addRegion' | 'changeRegion' }>;

export function useRegionDrafts(ink: number, work: Work): RegionDrafts {
  const [drafts, setDrafts] = useState<ReadonlyMap<string, SheetRegion>>(new Map());
  const [problem, say] = useState<RegionProblem | null>(null);
  const held = useRef(drafts);
  const scans = useRef(work.scans);
  /** Regions on their way, and those that are to follow in whatever state they are in by then. */
  const flying = useRef(new Set<string>());
  const following = useRef(new Set<string>());
  useEffect(() => {
    scans.current = work.scans;
  });

  const put = useCallback((next: ReadonlyMap<string, SheetRegion>) => {
    held.current = next;
    setDrafts(next);
  }, []);
  const preview = useCallback(
    (changed: readonly SheetRegion[]) => put(new Map([...held.current, ...changed.map((r) => [r.id, r] as const)])),
    [put],
  );
  const letGo = useCallback(
    (id: string, region: SheetRegion) => {
      if (held.current.get(id) !== region) return;
      const next = new Map(held.current);
      next.delete(id);
      put(next);
    },
    [put],
  );
  /** Sends one; its draft stays in sight until the library has answered. */
  const send = useCallback(
    async (change: Change): Promise<boolean> => {
      const { region } = change;
      const id = change.edit === 'addRegion' ? region.id : change.id;
      const refused = placedOff(region, scans.current) ?? (await edit(ink, change))?.message;
      letGo(id, region);
      if (refused === undefined) return true;
      say({ id, message: refused });
      return false;
    },
    [ink, letGo],
  );
  const save = useCallback(() => {
    const ids = [...held.current.keys()];
    const together = ids.length > 1 && { together: ids };
    const sendLatest = async (id: string): Promise<void> => {
      const region = held.current.get(id);
      if (!region) return;
      if (flying.current.has(id)) {
        following.current.add(id);
        return;
      }
      flying.current.add(id);
      await send({ edit: 'changeRegion', id, region, ...together });
      flying.current.delete(id);
      if (following.current.delete(id)) await sendLatest(id);
    };
    for (const id of ids) void sendLatest(id);
  }, [send]);

  useEffect(() => {
    // What waits when the window closes or the page is left is not lost.
    addEventListener('pagehide', save);
    return () => {
      removeEventListener('pagehide', save);
      save();
    };
  }, [save]);

  return useMemo((): RegionDrafts => {
    const known = new Set(work.regions.map(({ region }) => region.id));
    const added = [...drafts.values()].filter((region) => !known.has(region.id));
    return {
      regions: [...work.regions.map(({ region }) => drafts.get(region.id) ?? region), ...added],
      problem,
      preview: (changed) => {
        say(null);
        preview(changed);
      },
      save,
      drop: () => {
        put(new Map());
      },
      add: (region) => {
        say(null);
        save();
        preview([region]);
        return send({ edit: 'addRegion', region });
      },
      change: (id, region) => {
        say(null);
        put(new Map([...held.current, [id, region]]));
        return send({ edit: 'changeRegion', id, region });
      },
      remove: (ids) => {
        say(null);
        put(new Map([...held.current].filter(([id]) => !ids.includes(id))));
        void edit(ink, { edit: 'removeRegions', ids }).then((refused) => {
          if (refused) say({ id: ids[0], message: refused.message });
        });
      },
      say,
    };
  }, [work.regions, drafts, problem, preview, save, put, send, ink]);
}

function placedOff(region: SheetRegion, scans: readonly WorkScan[]): string | undefined {
  const scan = scans.find(({ id }) => id === region.scan);
  const size = scan && scanSizeMm(scan);
  if (!size || !region.boxMm) return undefined;
  return offScan(region.boxMm, size, region.id) ?? undefined;
}
