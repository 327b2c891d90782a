/**
 * Edits that the window before a reload made and the library has not answered to: until it does, pages show what they make, as the window
 * showed it before.
 */
import type { Edit, Work } from '../../electron/backend/api.ts';
import { afterOwn } from './ownView.ts';
import type { Unsent } from './unsent.ts';

export interface LeftEdit {
  readonly edit: Edit;
  /** Resolves with whether it was taken, when its tries are over. */
  readonly over: Promise<boolean>;
}

/** Of a region or a scan, whether it got through since or not: the window's address has the name of before. */
export interface LeftRename {
  readonly ink: number;
  readonly what: 'region' | 'scan';
  readonly from: string;
  readonly to: string;
  readonly over: Promise<boolean>;
}

const left = new Map<number, readonly LeftEdit[]>();
const renames: LeftRename[] = [];
/** Inks with something left whose outcome only the library can tell: an undo, and what was made before the answer to one. */
const untold = new Set<number>();

/** Told of each, in their order. */
export function noteLeft(one: Unsent, over: Promise<boolean>): void {
  const { ink } = one;
  if (one.to !== 'edits' || one.duringStep) {
    untold.add(ink);
    left.delete(ink);
  }
  if (one.to !== 'edits' || untold.has(ink)) return;
  const edit: LeftEdit = { edit: one.body.edit, over };
  left.set(ink, [...leftEdits(ink), edit]);
  const renamed = renameIn(one.body.edit);
  if (renamed) renames.push({ ink, ...renamed, over });
  void over.then(() => {
    left.set(
      ink,
      leftEdits(ink).filter((other) => other !== edit),
    );
  });
}

/** Those without an answer. */
export function leftEdits(ink: number): readonly LeftEdit[] {
  return left.get(ink) ?? [];
}

export function leftRenames(): readonly LeftRename[] {
  return renames;
}

function renameIn(edit: Edit): Pick<LeftRename, 'what' | 'from' | 'to'> | null {
  if (edit.edit !== 'changeRegion' && edit.edit !== 'changeScan') return null;
  const [what, to]: ['region' | 'scan', string | undefined] =
    edit.edit === 'changeRegion' ? ['region', edit.region.id] : ['scan', edit.change.id];
  return to === undefined || to === edit.id ? null : { what, from: edit.id, to };
}

/** What they make of the ink and its scans; names by which the library is asked stay as it knows them. */
export function withLeft(work: Work): Work {
  const edits = leftEdits(work.ink.id).flatMap(({ edit }): Edit[] => {
    if (edit.edit === 'changeInk') return [edit];
    if (edit.edit !== 'changeScan') return [];
    const { id: _, ...change } = edit.change;
    return [{ ...edit, change }];
  });
  return afterOwn(
    work,
    edits.map((edit) => ({ edit, isRefused: false })),
  );
}
