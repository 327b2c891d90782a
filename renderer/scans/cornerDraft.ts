/**
 * A target's four points while a person places them: in this window alone until they are used, so that the scan keeps its
 * colours under the hand. Each gesture is a step that can be taken back. They outlive a reload, the steps do not.
 */
import type { Point } from '../../analysis/raster/homography.ts';
import { Kept, useKept } from '../api/kept.ts';
import { watchWorks } from '../api/store.ts';
import { keepInTab, readKept } from '../api/keptInTab.ts';
import { renamesBetween } from './renamesBetween.ts';
import { turned } from './targetCorners.ts';
import { withPoint } from './targetsOn.ts';
import type { FourPoints } from './targetsOn.ts';

export interface CornerDraft {
  /** Px of the scan. */
  readonly points: FourPoints;
  /** How they lay before each gesture, the latest last. */
  readonly past: readonly FourPoints[];
  /** What the last gesture moved: steps of the arrow keys on one point are one. */
  readonly last: string | null;
  /** While a gesture goes on: how they lay before it. */
  readonly held: FourPoints | null;
}

const drafts = new Kept<string, CornerDraft | null>(null);
/** Where each lies, as it is kept in the tab. */
const STORE = 'wetline.corners';
interface KeptCorners {
  readonly key: string;
  readonly points: FourPoints;
}
let kept = readKept(STORE, isKept);
for (const { key, points } of kept) drafts.put(key, { points, past: [], last: null, held: null });

watchWorks((before, after) => {
  const ink = after.ink.id;
  for (const { what, from, to } of renamesBetween(before, after)) {
    const draft = what === 'scan' ? cornerDraft(ink, from) : null;
    if (!draft) continue;
    put(ink, to, draft);
    leaveCorners(ink, from);
  }
});

/** Null: nobody places them. */
export function useCornerDraft(ink: number, scan: string): CornerDraft | null {
  return useKept(drafts, keyOf(ink, scan));
}

export function cornerDraft(ink: number, scan: string): CornerDraft | null {
  return drafts.get(keyOf(ink, scan));
}

export function beginCorners(ink: number, scan: string, points: FourPoints): void {
  put(ink, scan, { points, past: [], last: null, held: null });
}

/** Goes on until `settleCorners`. @param from Where they lie when nobody places them yet. */
export function moveCorner(ink: number, scan: string, from: FourPoints, index: number, to: Point): void {
  const draft = drafts.get(keyOf(ink, scan)) ?? begun(from);
  put(ink, scan, { ...draft, points: withPoint(draft.points, index, to), held: draft.held ?? draft.points });
}

/** @param gesture Names what was done, when more of the same is one step with it; null: a step of its own. */
export function settleCorners(ink: number, scan: string, gesture: string | null): void {
  const draft = drafts.get(keyOf(ink, scan));
  if (!draft?.held) return;
  const goesOn = gesture !== null && gesture === draft.last;
  const past = goesOn ? draft.past : [...draft.past, draft.held];
  put(ink, scan, { ...draft, past, last: gesture, held: null });
}

/** As if the gesture had not begun. */
export function dropCorner(ink: number, scan: string): void {
  const draft = drafts.get(keyOf(ink, scan));
  if (!draft?.held) return;
  if (draft.past.length === 0 && draft.last === NEVER) leaveCorners(ink, scan);
  else put(ink, scan, { ...draft, points: draft.held, held: null });
}

export function turnCorners(ink: number, scan: string): void {
  const draft = drafts.get(keyOf(ink, scan));
  if (!draft) return;
  put(ink, scan, { points: turned(draft.points), past: [...draft.past, draft.points], last: null, held: null });
}

/** @returns whether there was a step; without one the draft itself is given up. */
export function takeCornerBack(ink: number, scan: string): boolean {
  const draft = drafts.get(keyOf(ink, scan));
  const before = draft?.past.at(-1);
  if (!draft || !before) {
    leaveCorners(ink, scan);
    return false;
  }
  put(ink, scan, { points: before, past: draft.past.slice(0, -1), last: null, held: null });
  return true;
}

export function leaveCorners(ink: number, scan: string): void {
  drafts.drop(keyOf(ink, scan));
  keep(keyOf(ink, scan), null);
}

/** Marks a draft that a drag began: giving that drag up gives the draft up. */
const NEVER = 'never';

function begun(points: FourPoints): CornerDraft {
  return { points, past: [], last: NEVER, held: null };
}

function put(ink: number, scan: string, draft: CornerDraft): void {
  drafts.put(keyOf(ink, scan), draft);
  // Of a gesture where it ends.
  if (draft.held === null) keep(keyOf(ink, scan), draft.points);
}

function keep(key: string, points: FourPoints | null): void {
  const others = kept.filter((one) => one.key !== key);
  kept = points === null ? others : [...others, { key, points }];
  keepInTab(STORE, kept);
}

function isKept(found: Partial<KeptCorners> | null): found is KeptCorners {
  const { key, points } = found ?? {};
  const isWhole = Array.isArray(points) && points.length === 4;
  return typeof key === 'string' && isWhole && points.flat().every(Number.isFinite) && points.flat().length === 8;
}

function keyOf(ink: number, scan: string): string {
  return `${ink}/${scan}`;
}
