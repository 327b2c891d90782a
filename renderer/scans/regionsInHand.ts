/**
 * Regions of an ink as the person is making them: shown at once, sent at the end of a move, put back when they cannot stay. They outlive a
 * page: what waits for an answer is in sight again when its page is.
 */
import type { Edit, SheetRegion, Work } from '../../electron/backend/api.ts';
import { holdBack } from '../api/heldBack.ts';
import { Kept } from '../api/kept.ts';
import { leftEdits } from '../api/leftEdits.ts';
import { isBeforeStep } from '../api/ownSteps.ts';
import { edit, heldWork, timesLetGo } from '../api/store.ts';
import { offScan } from './regionGeometry.ts';
import { followRename, noteRename, nowRegion, nowScan } from './renamed.ts';
import { scanSizeMm } from './scanMeasures.ts';

export interface RegionProblem {
  readonly id: string;
  readonly message: string;
}

/** What stands on the page. */
export interface DrawnRegions {
  /** The work's regions with what is being changed. */
  readonly regions: readonly SheetRegion[];
  readonly revision: number;
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
  /** Names of those whose removal is on its way: out of sight already. */
  readonly leaving: ReadonlySet<string>;
}

const NONE: Drafts = { made: new Map(), inHand: new Map(), leaving: new Set() };

export const regionDrafts = new Kept<number, Drafts>(NONE);
export const regionProblems = new Kept<number, RegionProblem | null>(null);

const ofInks = new Map<number, RegionsInHand>();

export function regionsInHand(ink: number): RegionsInHand {
  const known = ofInks.get(ink) ?? new RegionsInHand(ink);
  ofInks.set(ink, known);
  return known;
}

export class RegionsInHand {
  private readonly ink: number;
  /** Regions on their way, and those that are to follow in whatever state they are in by then, with all of one gesture. */
  private readonly flying = new Set<string>();
  private readonly following = new Map<string, readonly string[]>();
  private readonly sent = new WeakSet<Draft>();
  /** Those removed here: what stood in their form goes with them, while what was done to one that another window removed brings it back. */
  private readonly gone = new Set<string>();

  constructor(ink: number) {
    this.ink = ink;
    holdBack(ink, () => this.sendFollowing());
    for (const { edit, over } of leftEdits(ink)) this.showLeft(edit, over);
  }

  say(problem: RegionProblem | null): void {
    regionProblems.put(this.ink, problem);
  }

  preview(changed: readonly SheetRegion[], drawn: DrawnRegions): void {
    this.say(null);
    const named = changed.flatMap((shape): [string, Draft][] => {
      const key = this.keyOf(shape.id);
      const before = drawn.regions.find(({ id }) => id === shape.id);
      if (!before || this.isRemoved(shape.id)) return [];
      const region = { ...shape, id: key };
      const begun = this.drafts.inHand.get(key);
      return [[key, begun ? { ...begun, region } : this.drafted(key, region, { ...before, id: key }, drawn)]];
    });
    this.put({ inHand: new Map([...this.drafts.inHand, ...named]) });
  }

  save(): void {
    const { inHand } = this.drafts;
    if (inHand.size === 0) return;
    const gesture = [...inHand.keys()];
    this.make(inHand);
    this.drop();
    for (const id of gesture) {
      if (this.flying.has(id)) this.following.set(id, gesture);
      else void this.sendLatest(id, gesture);
    }
  }

  drop(): void {
    this.put({ inHand: NONE.inHand });
  }

  async add(region: SheetRegion): Promise<boolean> {
    this.say(null);
    this.save();
    this.make([[region.id, { region, from: null, duringStep: false }]]);
    const isTaken = await this.send(region.id, []);
    const name = isTaken && nameGiven(this.ink, region);
    if (typeof name === 'string' && name !== region.id) followRename(this.ink, 'region', region.id, name);
    return isTaken;
  }

  async change(id: string, change: (now: SheetRegion) => SheetRegion, drawn: DrawnRegions): Promise<boolean> {
    this.say(null);
    this.save();
    const key = this.keyOf(id);
    const name = nowRegion(this.ink, id);
    if (this.isRemoved(name)) return false;
    const known = regionIn(heldWork(this.ink), name) ?? drawn.regions.find((region) => region.id === name);
    const now = this.drafts.made.get(key)?.region ?? (known && { ...known, id: key });
    if (!now) return false;
    const region = change(now);
    if (region.id !== now.id) noteRename(this.ink, 'region', id, region.id);
    this.make([[key, this.drafted(key, region, now, drawn)]]);
    return this.send(key, []);
  }

  remove(ids: readonly string[]): void {
    this.say(null);
    const keys = ids.map((id) => this.keyOf(id));
    const names = ids.map((id) => nowRegion(this.ink, id));
    const { made, inHand } = this.drafts;
    const leaving = new Set([...this.drafts.leaving, ...names]);
    this.put({ made: without(made, keys), inHand: without(inHand, keys), leaving });
    const lettings = timesLetGo(this.ink);
    const change = (): Edit => ({ edit: 'removeRegions', ids: ids.map((id) => nowRegion(this.ink, id)) });
    void edit(this.ink, change).then((refused) => {
      if (!refused) for (const name of names) this.gone.add(name);
      this.put({ leaving: new Set([...this.drafts.leaving].filter((name) => !names.includes(name))) });
      if (refused && timesLetGo(this.ink) === lettings) this.say({ id: ids[0], message: refused.message });
    });
  }

  /** What comes next is about all that was done. @returns whether each was taken */
  sendFollowing(): ReadonlyMap<string, Promise<boolean>> {
    const all = [...this.following];
    // Each asks for what comes before it, once more.
    this.following.clear();
    return new Map(all.map(([id, gesture]) => [id, this.send(id, gesture)]));
  }

  /** What the window before a reload made, and the library has not answered to: in sight as it was there. */
  private showLeft(edit: Edit, over: Promise<boolean>): void {
    if (edit.edit === 'removeRegions') {
      const { ids } = edit;
      this.put({ leaving: new Set([...this.drafts.leaving, ...ids]) });
      void over.then(() => this.put({ leaving: new Set([...this.drafts.leaving].filter((id) => !ids.includes(id))) }));
    }
    if (edit.edit !== 'addRegion' && edit.edit !== 'changeRegion') return;
    const { region } = edit;
    const id = edit.edit === 'addRegion' ? region.id : edit.id;
    const draft: Draft = { region, from: edit.edit === 'addRegion' ? null : (edit.from ?? null), duringStep: false };
    this.sent.add(draft);
    const key = this.keyOf(id);
    this.put({ made: new Map([...this.drafts.made, [key, draft]]) });
    void over.then((isTaken) => this.letGo(key, draft, isTaken));
  }

  private get drafts(): Drafts {
    return regionDrafts.get(this.ink);
  }

  private put(next: Partial<Drafts>): void {
    regionDrafts.put(this.ink, { ...this.drafts, ...next });
  }

  /** Made now, of what is drawn. */
  private drafted(key: string, region: SheetRegion, from: SheetRegion, { revision }: DrawnRegions): Draft {
    const before = this.drafts.inHand.get(key) ?? this.drafts.made.get(key);
    return { region, from, duringStep: before?.duringStep === true || isBeforeStep(this.ink, revision) };
  }

  /** One that was not sent yet is replaced as a whole: what comes now is of the same as that was. */
  private make(drafts: Iterable<readonly [string, Draft]>): void {
    const { made } = this.drafts;
    const next = [...drafts].map(([id, draft]): [string, Draft] => {
      const before = made.get(id);
      if (!before || this.sent.has(before)) return [id, draft];
      return [id, { ...draft, from: before.from, duringStep: before.duringStep || draft.duringStep }];
    });
    this.put({ made: new Map([...made, ...next]) });
  }

  /** What its draft is kept by. */
  private keyOf(id: string): string {
    const { made, inHand } = this.drafts;
    const now = nowRegion(this.ink, id);
    return [...made.keys(), ...inHand.keys()].find((key) => nowRegion(this.ink, key) === now) ?? id;
  }

  private letGo(id: string, draft: Draft, isTaken: boolean): void {
    // What was made of one that was not taken is of what that was made of.
    const heir = (next: Draft): Draft =>
      !isTaken && next.from === draft.region ? { ...next, from: draft.from } : next;
    const { made, inHand } = this.drafts;
    const left = made.get(id) === draft ? without(made, [id]) : made;
    this.put({ made: mapped(left, heir), inHand: mapped(inHand, heir) });
  }

  /** Sends one; its draft stays in sight until the library has answered. */
  private async send(id: string, gesture: readonly string[]): Promise<boolean> {
    const draft = this.drafts.made.get(id);
    this.following.delete(id);
    if (!draft) return true;
    this.sent.add(draft);
    const { region, from, duringStep } = draft;
    const change: Change =
      from === null
        ? { edit: 'addRegion', region, proposed: true }
        : { edit: 'changeRegion', id, region, from, ...(gesture.length > 1 && { together: [...gesture] }) };
    const lettings = timesLetGo(this.ink);
    const refused =
      placedOff(this.ink, region) ??
      (await edit(this.ink, () => asNowCalled(this.ink, change), { duringStep }))?.message;
    this.letGo(id, draft, refused === undefined);
    if (refused === undefined) return true;
    if (timesLetGo(this.ink) !== lettings) {
      // What was to follow goes with it.
      this.following.delete(id);
      this.put({ made: without(this.drafts.made, [id]) });
    } else this.say({ id: nowRegion(this.ink, id), message: refused });
    return false;
  }

  private async sendLatest(id: string, gesture: readonly string[]): Promise<void> {
    this.flying.add(id);
    let answer: Promise<boolean> | undefined = this.send(id, gesture);
    while (answer !== undefined) {
      await answer;
      // In the order in which they were made.
      answer = this.following.has(id) ? this.sendFollowing().get(id) : undefined;
    }
    this.flying.delete(id);
  }

  private isRemoved(name: string): boolean {
    if (this.drafts.leaving.has(name)) return true;
    if (regionIn(heldWork(this.ink), name)) this.gone.delete(name);
    return this.gone.has(name);
  }
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
