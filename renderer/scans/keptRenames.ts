/** Renames of this tab where they outlive a reload of the window: the latest, oldest first. */
import { keepInTab, readKept } from '../api/keptInTab.ts';
import type { Renaming } from './renamesBetween.ts';

export interface RenamedInInk extends Renaming {
  readonly ink: number;
}

const PLACE = 'wetline.renamed';
const MOST = 200;

let kept = readKept(PLACE, isRename);

export function keptRenames(): readonly RenamedInInk[] {
  return kept;
}

export function keepRename(one: RenamedInInk): void {
  if (isSame(kept.at(-1), one)) return;
  kept = [...kept, one].slice(-MOST);
  keepInTab(PLACE, kept);
}

function isRename(one: Partial<RenamedInInk> | null): one is RenamedInInk {
  const { ink, what, from, to } = one ?? {};
  const isNamed = typeof from === 'string' && typeof to === 'string';
  return typeof ink === 'number' && isNamed && (what === 'region' || what === 'scan');
}

function isSame(a: RenamedInInk | undefined, b: RenamedInInk): boolean {
  return a?.ink === b.ink && a.what === b.what && a.from === b.from && a.to === b.to;
}
