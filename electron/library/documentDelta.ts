/** What one step changed in a document, small enough to keep for ever, and exact both ways. */
import { isDeepStrictEqual } from 'node:util';
import type { DocumentScan, InkDocument } from './document.ts';
import type { DocumentRegion } from './firstId.ts';

export interface DocumentDelta {
  readonly ink?: Change<InkDocument['ink']>;
  readonly target?: Change<InkDocument['target'] | null>;
  readonly bench?: Change<InkDocument['bench'] | null>;
  readonly scans?: Splice<DocumentScan>;
  readonly regions?: Splice<DocumentRegion>;
}
interface Change<T> {
  readonly before: T;
  readonly after: T;
}
/** From place `at` on, `before` stood where `after` stands. */
interface Splice<T> extends Change<readonly T[]> {
  readonly at: number;
}

/** Null: nothing changed. */
export function deltaBetween(before: InkDocument, after: InkDocument): DocumentDelta | null {
  const ink = change(before.ink, after.ink);
  const target = change(before.target ?? null, after.target ?? null);
  const bench = change(before.bench ?? null, after.bench ?? null);
  const scans = splice(before.scans, after.scans);
  const regions = splice(before.regions, after.regions);
  if (!ink && !target && !bench && !scans && !regions) return null;
  return {
    ...(ink && { ink }),
    ...(target && { target }),
    ...(bench && { bench }),
    ...(scans && { scans }),
    ...(regions && { regions }),
  };
}

export function redone(document: InkDocument, delta: DocumentDelta): InkDocument {
  return stepped(document, delta, 'before', 'after');
}

export function undone(document: InkDocument, delta: DocumentDelta): InkDocument {
  return stepped(document, delta, 'after', 'before');
}

type Side = 'before' | 'after';

function stepped(document: InkDocument, delta: DocumentDelta, from: Side, to: Side): InkDocument {
  const { target: oldTarget, bench: oldBench, ...rest } = document;
  const target = delta.target ? delta.target[to] : oldTarget;
  const bench = delta.bench ? delta.bench[to] : oldBench;
  return {
    ...rest,
    ...(delta.ink && { ink: delta.ink[to] }),
    ...(target && { target }),
    ...(bench && { bench }),
    ...(delta.scans && { scans: spliced(document.scans, delta.scans, from, to) }),
    ...(delta.regions && { regions: spliced(document.regions, delta.regions, from, to) }),
  };
}

function change<T>(before: T, after: T): Change<T> | null {
  return isDeepStrictEqual(before, after) ? null : { before, after };
}

function splice<T>(before: readonly T[], after: readonly T[]): Splice<T> | null {
  const shorter = Math.min(before.length, after.length);
  let at = 0;
  while (at < shorter && isDeepStrictEqual(before[at], after[at])) at++;
  let end = 0;
  while (end < shorter - at && isDeepStrictEqual(before[before.length - 1 - end], after[after.length - 1 - end])) end++;
  const [was, is] = [before.slice(at, before.length - end), after.slice(at, after.length - end)];
  return was.length === 0 && is.length === 0 ? null : { at, before: was, after: is };
}

function spliced<T>(list: readonly T[], { at, ...sides }: Splice<T>, from: Side, to: Side): T[] {
  return list.toSpliced(at, sides[from].length, ...sides[to]);
}
