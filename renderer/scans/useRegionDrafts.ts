/** Regions as the person is making them: shown at once, sent at the end of a move, put back when they cannot stay. */
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { Edit, SheetRegion, Work } from '../../electron/backend/api.ts';
import { edit, heldWork, holdBack, isBeforeStep, timesLetGo } from '../api/store.ts';
import { offScan } from './regionGeometry.ts';
import { followRename, noteRename, nowCalled, nowRegion, nowScan } from './renamed.ts';
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
/** A region in the making. */
interface Draft {
  readonly region: SheetRegion;
  /** The region that it was made of, as the library has it or will have it; null: there was none. */
  readonly from: SheetRegion | null;
  /** That was before an undo of this window. */
  readonly duringStep: boolean;
}
type DraftsById = ReadonlyMap<string, Draft>;

/** By the names that the regions bore when they were first changed: a draft outlives a rename. */
interface Drafts {
  /** Sent, or to follow what is sent. */
  readonly made: DraftsById;
  /** In hand: nothing of it is sent before it is let go. */
  readonly inHand: DraftsById;
}

const NONE: Drafts = { made: new Map(), inHand: new Map() };

export function useRegionDrafts(ink: number, work: Work): RegionDrafts {
  const [drafts, setDrafts] = useState(NONE);
  const [problem, say] = useState<RegionProblem | null>(null);
  const held = useRef(drafts);
  /** Regions on their way, and those that are to follow in whatever state they are in by then, with all of one gesture. */
  const flying = useRef(new Set<string>());
  const following = useRef(new Map<string, readonly string[]>());
  const sent = useRef(new WeakSet<Draft>());
  /** Those removed here: what stood in their form goes with them, while what was done to one that another window removed brings it back. */
  const removed = useRef(new Map<string, 'on its way' | 'gone'>());

  const put = useCallback((next: Partial<Drafts>) => {
    held.current = { ...held.current, ...next };
    setDrafts(held.current);
  }, []);
  /** One that was not sent yet is replaced as a whole: what comes now is of the same as that was. */
  const make = useCallback(
    (drafts: Iterable<readonly [string, Draft]>) => {
      const { made } = held.current;
      const next = [...drafts].map(([id, draft]): [string, Draft] => {
        const before = made.get(id);
        if (!before || sent.current.has(before)) return [id, draft];
        return [id, { ...draft, from: before.from, duringStep: before.duringStep || draft.duringStep }];
      });
      put({ made: new Map([...made, ...next]) });
    },
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
    (id: string, draft: Draft, isTaken: boolean) => {
      // What was made of one that was not taken is of what that was made of.
      const heir = (next: Draft): Draft =>
        !isTaken && next.from === draft.region ? { ...next, from: draft.from } : next;
      const { made, inHand } = held.current;
      const left = made.get(id) === draft ? without(made, [id]) : made;
      put({ made: mapped(left, heir), inHand: mapped(inHand, heir) });
    },
    [put],
  );
  /** Sends one; its draft stays in sight until the library has answered. */
  const send = useCallback(
    async (id: string, gesture: readonly string[]): Promise<boolean> => {
      const draft = held.current.made.get(id);
      if (!draft) return true;
      sent.current.add(draft);
      const { region, from, duringStep } = draft;
      const change: Change =
        from === null
          ? { edit: 'addRegion', region, proposed: true }
          : { edit: 'changeRegion', id, region, from, ...(gesture.length > 1 && { together: [...gesture] }) };
      const lettings = timesLetGo(ink);
      const refused =
        placedOff(ink, region) ?? (await edit(ink, () => asNowCalled(ink, change), { duringStep }))?.message;
      letGo(id, draft, refused === undefined);
      if (refused === undefined) return true;
      if (timesLetGo(ink) !== lettings) {
        // What was to follow goes with it.
        following.current.delete(id);
        put({ made: without(held.current.made, [id]) });
      } else say({ id: nowRegion(ink, id), message: refused });
      return false;
    },
    [ink, letGo, put],
  );
  const isRemoved = useCallback(
    (name: string): boolean => {
      const how = removed.current.get(name);
      if (how !== 'gone' || !regionIn(heldWork(ink), name)) return how !== undefined;
      removed.current.delete(name);
      return false;
    },
    [ink],
  );
  const sendFollowing = useCallback(() => {
    for (const [id, gesture] of following.current) void send(id, gesture);
    following.current.clear();
  }, [send]);
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
        await send(id, next);
        next = following.current.get(id);
        following.current.delete(id);
      }
      flying.current.delete(id);
    };
    for (const id of gesture) {
      if (flying.current.has(id)) following.current.set(id, gesture);
      else void sendLatest(id);
    }
  }, [make, put, send]);

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
      [...drafts.made, ...drafts.inHand].map(([id, { region }]): [string, SheetRegion] => {
        const name = nowCalled(ink, 'region', id, isThere);
        // A new name shows once the library has it: all else knows the region by the old one until then.
        return [name, region.id === name ? region : { ...region, id: name }];
      }),
    );
    const added = [...shown.values()].filter(({ id }) => !isThere(id));
    const regions = [...work.regions.map(({ region }) => shown.get(region.id) ?? region), ...added];
    /** Made now, of what is drawn. */
    const drafted = (key: string, region: SheetRegion, from: SheetRegion): Draft => {
      const before = drafts.inHand.get(key) ?? drafts.made.get(key);
      return { region, from, duringStep: before?.duringStep === true || isBeforeStep(ink, work.revision) };
    };
    return {
      regions,
      problem,
      preview: (changed) => {
        say(null);
        const named = changed.flatMap((shape): [string, Draft][] => {
          const key = keyOf(shape.id);
          const drawn = regions.find(({ id }) => id === shape.id);
          if (!drawn || isRemoved(shape.id)) return [];
          const region = { ...shape, id: key };
          const begun = held.current.inHand.get(key);
          return [[key, begun ? { ...begun, region } : drafted(key, region, { ...drawn, id: key })]];
        });
        put({ inHand: new Map([...held.current.inHand, ...named]) });
      },
      save,
      drop: () => put({ inHand: NONE.inHand }),
      add: async (region) => {
        say(null);
        save();
        make([[region.id, { region, from: null, duringStep: false }]]);
        const isTaken = await send(region.id, []);
        const name = isTaken && nameGiven(ink, region);
        if (typeof name === 'string' && name !== region.id) followRename(ink, 'region', region.id, name);
        return isTaken;
      },
      change: async (id, change) => {
        say(null);
        save();
        const key = keyOf(id);
        const name = nowRegion(ink, id);
        if (isRemoved(name)) return false;
        const known = regionIn(heldWork(ink), name) ?? regionIn(work, name);
        const now = held.current.made.get(key)?.region ?? (known && { ...known, id: key });
        if (!now) return false;
        const region = change(now);
        if (region.id !== now.id) noteRename(ink, 'region', id, region.id);
        make([[key, drafted(key, region, now)]]);
        return send(key, []);
      },
      remove: (ids) => {
        say(null);
        const keys = ids.map(keyOf);
        const names = ids.map((id) => nowRegion(ink, id));
        put({ made: without(held.current.made, keys), inHand: without(held.current.inHand, keys) });
        for (const name of names) removed.current.set(name, 'on its way');
        const lettings = timesLetGo(ink);
        void edit(ink, () => ({ edit: 'removeRegions', ids: ids.map((id) => nowRegion(ink, id)) })).then((refused) => {
          for (const name of names) {
            if (refused) removed.current.delete(name);
            else removed.current.set(name, 'gone');
          }
          if (refused && timesLetGo(ink) === lettings) say({ id: ids[0], message: refused.message });
        });
      },
      say,
    };
  }, [work, drafts, problem, put, keyOf, make, save, send, isRemoved, ink]);
}

function without(drafts: DraftsById, ids: readonly string[]): DraftsById {
  return new Map([...drafts].filter(([id]) => !ids.includes(id)));
}

function mapped(drafts: DraftsById, change: (draft: Draft) => Draft): DraftsById {
  return new Map([...drafts].map(([id, draft]) => [id, change(draft)]));
}

/** What the library called a new region: another window may have taken its name. */
function nameGiven(ink: number, region: SheetRegion): string | undefined {
  const asText = (one: SheetRegion): string => JSON.stringify([one.scan, one.kind, one.boxMm]);
  return heldWork(ink)?.regions.findLast((other) => asText(other.region) === asText(region))?.region.id;
}

function regionIn(work: Work | null, id: string): SheetRegion | undefined {
  return work?.regions.find(({ region }) => region.id === id)?.region;
}

function asNowCalled(ink: number, change: Change): Edit {
  const scan = nowScan(ink, change.region.scan);
  const region = { ...change.region, scan };
  if (change.edit === 'addRegion') return { ...change, region };
  const id = nowRegion(ink, change.id);
  return {
    ...change,
    id,
    region: region.id === change.id ? { ...region, id } : region,
    ...(change.from && { from: { ...change.from, id, scan: nowScan(ink, change.from.scan) } }),
  };
}

function placedOff(ink: number, region: SheetRegion): string | undefined {
  const scan = heldWork(ink)?.scans.find(({ id }) => id === region.scan);
  const size = scan && scanSizeMm(scan);
  if (!size || !region.boxMm) return undefined;
  return offScan(region.boxMm, size, region.id) ?? undefined;
}
