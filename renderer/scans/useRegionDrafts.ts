/** Regions as the person is making them: shown at once, sent at the end of a move, put back when they cannot stay. */
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { Edit, SheetRegion, Work } from '../../electron/backend/api.ts';
import { edit, heldWork, holdBack } from '../api/store.ts';
import { offScan } from './regionGeometry.ts';
import { noteRename, nowCalled, nowRegion, nowScan } from './renamed.ts';
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
  /** Gives up what is shown and was not sent. */
  drop(): void;
  /** @returns whether it was taken. */
  add(region: SheetRegion): Promise<boolean>;
  /** @param make From the region as it is by then, with all that was done to it before. @returns whether it was taken. */
  change(id: string, make: (now: SheetRegion) => SheetRegion): Promise<boolean>;
  remove(ids: readonly string[]): void;
  say(problem: RegionProblem | null): void;
}

type Change = Extract<Edit, { edit: 'addRegion' | 'changeRegion' }>;
type Regions = ReadonlyMap<string, SheetRegion>;

/** By the names that the regions bore when they were first changed: a draft outlives a rename. */
interface Drafts {
  /** Sent, or to follow what is sent. */
  readonly made: Regions;
  /** In hand: nothing of it is sent before it is let go. */
  readonly inHand: Regions;
}

const NONE: Drafts = { made: new Map(), inHand: new Map() };

export function useRegionDrafts(ink: number, work: Work): RegionDrafts {
  const [drafts, setDrafts] = useState(NONE);
  const [problem, say] = useState<RegionProblem | null>(null);
  const held = useRef(drafts);
  /** Regions on their way, and those that are to follow in whatever state they are in by then, with all of one gesture. */
  const flying = useRef(new Set<string>());
  const following = useRef(new Map<string, readonly string[]>());

  const put = useCallback((next: Partial<Drafts>) => {
    held.current = { ...held.current, ...next };
    setDrafts(held.current);
  }, []);
  const make = useCallback(
    (regions: Iterable<readonly [string, SheetRegion]>) => put({ made: new Map([...held.current.made, ...regions]) }),
    [put],
  );
  /** What its draft is kept by. */
  const keyOf = useCallback(
    (id: string): string => {
      const { made, inHand } = held.current;
      const now = nowRegion(ink, id);
      return [...made.keys(), ...inHand.keys()].find((key) => nowRegion(ink, key) === now) ?? id;
    },
    [ink],
  );
  const letGo = useCallback(
    (id: string, region: SheetRegion) => {
      if (held.current.made.get(id) === region) put({ made: without(held.current.made, [id]) });
    },
    [put],
  );
  /** Sends one; its draft stays in sight until the library has answered. */
  const send = useCallback(
    async (change: Change): Promise<boolean> => {
      const { region } = change;
      const id = change.edit === 'addRegion' ? region.id : change.id;
      const refused = placedOff(ink, region) ?? (await edit(ink, () => asNowCalled(ink, change)))?.message;
      letGo(id, region);
      if (refused === undefined) return true;
      say({ id: nowRegion(ink, id), message: refused });
      return false;
    },
    [ink, letGo],
  );
  const sendMade = useCallback(
    async (id: string, gesture: readonly string[]): Promise<boolean> => {
      const region = held.current.made.get(id);
      if (!region) return true;
      return send({ edit: 'changeRegion', id, region, ...(gesture.length > 1 && { together: [...gesture] }) });
    },
    [send],
  );
  const sendFollowing = useCallback(() => {
    for (const [id, gesture] of following.current) void sendMade(id, gesture);
    following.current.clear();
  }, [sendMade]);
  const save = useCallback(() => {
    const { inHand } = held.current;
    if (inHand.size === 0) return;
    const gesture = [...inHand.keys()];
    make(inHand);
    put({ inHand: NONE.inHand });
    const sendLatest = async (id: string): Promise<void> => {
      flying.current.add(id);
      let next: readonly string[] | undefined = gesture;
      while (next !== undefined) {
        await sendMade(id, next);
        next = following.current.get(id);
        following.current.delete(id);
      }
      flying.current.delete(id);
    };
    for (const id of gesture) {
      if (flying.current.has(id)) following.current.set(id, gesture);
      else void sendLatest(id);
    }
  }, [make, put, sendMade]);

  // Undo is of all that was done, and measuring, too.
  useEffect(() => holdBack(ink, sendFollowing), [ink, sendFollowing]);
  useEffect(() => {
    // What waits when the window closes or the page is left is not lost.
    const leave = (): void => {
      save();
      sendFollowing();
    };
    addEventListener('pagehide', leave);
    return () => {
      removeEventListener('pagehide', leave);
      leave();
    };
  }, [save, sendFollowing]);

  return useMemo((): RegionDrafts => {
    const isThere = (id: string): boolean => work.regions.some(({ region }) => region.id === id);
    const shown = new Map(
      [...drafts.made, ...drafts.inHand].map(([id, region]): [string, SheetRegion] => {
        const name = nowCalled(ink, 'region', id, isThere);
        // A new name shows once the library has it: all else knows the region by the old one until then.
        return [name, region.id === name ? region : { ...region, id: name }];
      }),
    );
    const added = [...shown.values()].filter(({ id }) => !isThere(id));
    return {
      regions: [...work.regions.map(({ region }) => shown.get(region.id) ?? region), ...added],
      problem,
      preview: (changed) => {
        say(null);
        const named = changed.map((region): [string, SheetRegion] => {
          const key = keyOf(region.id);
          return [key, { ...region, id: key }];
        });
        put({ inHand: new Map([...held.current.inHand, ...named]) });
      },
      save,
      drop: () => put({ inHand: NONE.inHand }),
      add: (region) => {
        say(null);
        save();
        make([[region.id, region]]);
        return send({ edit: 'addRegion', region });
      },
      change: async (id, change) => {
        say(null);
        save();
        const key = keyOf(id);
        const known = regionIn(heldWork(ink) ?? work, nowRegion(ink, id));
        const now = held.current.made.get(key) ?? (known && { ...known, id: key });
        if (!now) return false;
        const region = change(now);
        if (region.id !== now.id) noteRename(ink, 'region', id, region.id);
        make([[key, region]]);
        return send({ edit: 'changeRegion', id: key, region });
      },
      remove: (ids) => {
        say(null);
        const keys = ids.map(keyOf);
        put({ made: without(held.current.made, keys), inHand: without(held.current.inHand, keys) });
        void edit(ink, () => ({ edit: 'removeRegions', ids: ids.map((id) => nowRegion(ink, id)) })).then((refused) => {
          if (refused) say({ id: ids[0], message: refused.message });
        });
      },
      say,
    };
  }, [work, drafts, problem, put, keyOf, make, save, send, ink]);
}

function without(regions: Regions, ids: readonly string[]): Regions {
  return new Map([...regions].filter(([id]) => !ids.includes(id)));
}

function regionIn(work: Work | null, id: string): SheetRegion | undefined {
  return work?.regions.find(({ region }) => region.id === id)?.region;
}

function asNowCalled(ink: number, change: Change): Edit {
  const region = { ...change.region, scan: nowScan(ink, change.region.scan) };
  if (change.edit === 'addRegion') return { ...change, region };
  const id = nowRegion(ink, change.id);
  return { ...change, id, region: region.id === change.id ? { ...region, id } : region };
}

function placedOff(ink: number, region: SheetRegion): string | undefined {
  const scan = heldWork(ink)?.scans.find(({ id }) => id === region.scan);
  const size = scan && scanSizeMm(scan);
  if (!size || !region.boxMm) return undefined;
  return offScan(region.boxMm, size, region.id) ?? undefined;
}
