/** Renames of this tab where they outlive a reload of the window: the latest, oldest first. */
import type { Renaming } from './renamesBetween.ts';

export interface RenamedInInk extends Renaming {
  readonly ink: number;
}

const PLACE = 'wetline.renamed';
const MOST = 200;

let kept = read();

export function keptRenames(): readonly RenamedInInk[] {
  return kept;
}

export function keepRename(one: RenamedInInk): void {
  if (isSame(kept.at(-1), one)) return;
  kept = [...kept, one].slice(-MOST);
  try {
    sessionStorage.setItem(PLACE, JSON.stringify(kept));
  } catch {
    // A browser that keeps nothing loses the way from an old name over a reload, and nothing else.
  }
}

/** What another version of the program kept otherwise is none of it. */
function read(): readonly RenamedInInk[] {
  try {
    const found: unknown = JSON.parse(sessionStorage.getItem(PLACE) ?? '[]');
    return Array.isArray(found) ? found.filter(isRename) : [];
  } catch {
    return [];
  }
}

function isRename(one: Partial<RenamedInInk> | null): one is RenamedInInk {
  const { ink, what, from, to } = one ?? {};
  const isNamed = typeof from === 'string' && typeof to === 'string';
  return typeof ink === 'number' && isNamed && (what === 'region' || what === 'scan');
}

function isSame(a: RenamedInInk | undefined, b: RenamedInInk): boolean {
  return a?.ink === b.ink && a.what === b.what && a.from === b.from && a.to === b.to;
}
