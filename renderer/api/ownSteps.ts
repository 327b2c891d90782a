/** Steps that this window takes past what it shows: undo, redo, and what it did before it was loaded anew. What is done meanwhile is put onto them. */
import type { Work } from '../../electron/backend/api.ts';

/** Those that have no answer yet, by ink. */
const underWay = new Map<number, number>();
/** Revision of the work that the last of them left, by ink. */
const left = new Map<number, number>();

export function stepBegins(ink: number): void {
  underWay.set(ink, (underWay.get(ink) ?? 0) + 1);
}

export function stepEnds(ink: number): void {
  underWay.set(ink, (underWay.get(ink) ?? 1) - 1);
}

export function stepped(ink: number, work: Work): Work {
  left.set(ink, work.revision);
  return work;
}

/** Whether a work is as it was before such a step. @param revision as it is drawn; absent: the latest */
export function isBeforeStep(ink: number, revision = Infinity): boolean {
  return (underWay.get(ink) ?? 0) > 0 || revision < (left.get(ink) ?? 0);
}
