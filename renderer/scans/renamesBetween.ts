/** What was given another name between two states of an ink's work: by another window, by undo, or here. */
import type { WorkRegion, WorkScan } from '../../electron/backend/api.ts';

export interface Renaming {
  readonly what: 'region' | 'scan';
  readonly from: string;
  readonly to: string;
}

interface Known {
  readonly scans: readonly Pick<WorkScan, 'id' | 'hash'>[];
  readonly regions: readonly Pick<WorkRegion, 'region'>[];
}

/** A scan is known by its file, a region by its place in the list, which a rename leaves, with its kind and its box. */
export function renamesBetween(before: Known, after: Known): readonly Renaming[] {
  const renames: Renaming[] = [];
  for (const { id: from, hash } of before.scans) {
    const to = after.scans.find((scan) => scan.hash === hash)?.id ?? from;
    if (to !== from && isIn(after.scans, to, before.scans, from)) renames.push({ what: 'scan', from, to });
  }
  const [were, are] = [before, after].map(({ regions }) => regions.map(({ region }) => region));
  if (were.length !== are.length) return renames;
  for (const [i, was] of were.entries()) {
    const is = are[i];
    const isOne = was.kind === is.kind && JSON.stringify(was.boxMm) === JSON.stringify(is.boxMm);
    if (was.id !== is.id && isOne && isIn(are, is.id, were, was.id)) {
      renames.push({ what: 'region', from: was.id, to: is.id });
    }
  }
  return renames;
}

/** The new name is new, and nothing bears the old one any more. */
function isIn(
  after: readonly { readonly id: string }[],
  to: string,
  before: readonly { readonly id: string }[],
  from: string,
): boolean {
  return before.every(({ id }) => id !== to) && after.every(({ id }) => id !== from);
}
