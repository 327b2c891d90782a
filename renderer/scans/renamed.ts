/**
 * What scans and regions were called before and after a rename, in this window or another. The library answers a little after a name is given,
 * and undo takes it back: until the page's address follows, whoever stands at one of the names means the thing that bears another of them.
 * Kept over a reload: a rename that is answered while the page goes reaches no address, and steps of the browser's history have old names.
 */

import { regionsOfKey, renamedKey } from '../../analysis/report/findingKey.ts';
import type { Address } from '../address/address.ts';
import { currentAddress, goTo } from '../address/useAddress.ts';
import { leftRenames } from '../api/leftEdits.ts';
import { heldWork, watchWorks } from '../api/store.ts';
import { keepRename, keptRenames } from './keptRenames.ts';
import { renamesBetween } from './renamesBetween.ts';

export type Named = 'region' | 'scan';

/** All names that a thing had and has here, the newest last. */
const names = new Map<string, readonly string[]>();
/** The first name that a thing had here. */
const firsts = new Map<string, string>();

export function noteRename(ink: number, what: Named, from: string, to: string): void {
  note(ink, what, from, to);
  keepRename({ ink, what, from, to });
}

function note(ink: number, what: Named, from: string, to: string): void {
  firsts.set(keyOf(ink, what, to), firstOf(ink, what, from));
  const all = [...(names.get(keyOf(ink, what, from)) ?? [from]).filter((name) => name !== to), to];
  for (const name of all) names.set(keyOf(ink, what, name), all);
}

/** @param isThere whether something bears this name. @returns a name that something bears; failing that, the same */
export function nowCalled(ink: number, what: Named, name: string, isThere: (name: string) => boolean): string {
  if (isThere(name)) return name;
  return names.get(keyOf(ink, what, name))?.findLast(isThere) ?? name;
}

/**
 * The same before and after a rename, and of no two things: what is drawn for a thing stays the thing's own, with the focus and what is typed
 * in it. @param isThere as for `nowCalled`
 */
export function firstName(ink: number, what: Named, name: string, isThere: (name: string) => boolean): string {
  const isAnothers = names.get(keyOf(ink, what, name))?.some((other) => other !== name && isThere(other)) ?? false;
  // A thing that took the name which another gave up; no name has a line break.
  return isAnothers && isThere(name) && firstOf(ink, what, name) === name ? `${name}\n` : firstOf(ink, what, name);
}

function firstOf(ink: number, what: Named, name: string): string {
  return firsts.get(keyOf(ink, what, name)) ?? name;
}

/** Names in an address as things are called now. @param text names parted by semicolons */
export function nowCalledAll(
  ink: number,
  what: Named,
  text: string | undefined,
  known: readonly { readonly id: string }[],
): string | undefined {
  const isThere = (name: string): boolean => known.some(({ id }) => id === name);
  return text
    ?.split(';')
    .map((name) => nowCalled(ink, what, name, isThere))
    .join(';');
}

/** Once the library has the name, the address has it, too; whoever stands elsewhere by then stays there. */
export function followRename(ink: number, what: Named, from: string, to: string): void {
  const address = currentAddress();
  const { page } = address;
  if (page === 'shelf' || page === 'dyes' || address.ink !== ink) return;
  const query = Object.fromEntries(
    Object.entries(address.query).map(([name, text]) => [
      name,
      IN_QUERY[what].includes(name)
        ? renamedIn(text, from, to)
        : name === 'finding' && what === 'region' && text !== undefined
          ? renamedKey(text, from, to)
          : text,
    ]),
  );
  goTo({ ...address, query }, { replace: true });
}

/** What the pages of an ink call them. */
const IN_QUERY: Readonly<Record<Named, readonly string[]>> = {
  region: ['region', 'strip', 'over'],
  scan: ['scan', 'view'],
};

/** All that an address calls by name. */
export function namesIn({ query }: Pick<Address, 'query'>, what: Named): readonly string[] {
  const finding = what === 'region' && query['finding'] !== undefined ? regionsOfKey(query['finding']) : [];
  return [...IN_QUERY[what].flatMap((name) => query[name]?.split(';') ?? []), ...finding];
}

/** @param text names parted by semicolons */
export function renamedIn(text: string | undefined, from: string, to: string): string | undefined {
  return text
    ?.split(';')
    .map((name) => (name === from ? to : name))
    .join(';');
}

/** What the library calls it by now. */
export function nowScan(ink: number, name: string): string {
  return nowCalled(ink, 'scan', name, (id) => heldWork(ink)?.scans.some((scan) => scan.id === id) ?? false);
}

export function nowRegion(ink: number, name: string): string {
  return nowCalled(ink, 'region', name, (id) => heldWork(ink)?.regions.some(({ region }) => region.id === id) ?? false);
}

function keyOf(ink: number, what: Named, name: string): string {
  return `${ink}/${what}/${name}`;
}

for (const { ink, what, from, to } of keptRenames()) note(ink, what, from, to);

watchWorks((before, after) => {
  const ink = after.ink.id;
  for (const { what, from, to } of renamesBetween(before, after)) {
    noteRename(ink, what, from, to);
    followRename(ink, what, from, to);
  }
});

// What the window before a reload renamed, and stands in the address as it was called before.
for (const { ink, what, from, to, over } of leftRenames()) {
  noteRename(ink, what, from, to);
  void over.then((isTaken) => {
    if (isTaken) followRename(ink, what, from, to);
  });
}
