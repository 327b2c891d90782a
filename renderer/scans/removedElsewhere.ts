/** What is open here and another window takes away is told: it would vanish from under the hand without a word. */
import type { Work } from '../../electron/backend/api.ts';
import { currentAddress } from '../address/useAddress.ts';
import { tellMeanwhile } from '../api/meanwhile.ts';
import { isBeforeStep } from '../api/ownSteps.ts';
import { pendingOf } from '../api/ownView.ts';
import { watchWorks } from '../api/store.ts';

watchWorks((before, after) => {
  const ink = after.ink.id;
  const { page, ink: open, query } = currentAddress();
  // An undo or redo of this window takes away what it says.
  if (page !== 'scans' || open !== ink || isBeforeStep(ink)) return;
  const own = pendingOf(ink).flatMap(({ edit }) =>
    edit.edit === 'removeScan' ? [edit.id] : edit.edit === 'removeRegions' ? edit.ids : [],
  );
  const [scans, regions] = goneBetween(before, after).map((gone) => gone.filter((id) => !own.includes(id)));
  const said =
    removedWords('Scan', named(query['scan'], scans)) ?? removedWords('Region', named(query['region'], regions));
  if (said !== null) tellMeanwhile(ink, { words: said, undoes: true });
});

/** Names of scans, and of regions whose scan is there still: the others go with it. */
function goneBetween(before: Work, after: Work): readonly [string[], string[]] {
  const scans = before.scans.map(({ id }) => id).filter((id) => after.scans.every((scan) => scan.id !== id));
  const regions = before.regions.flatMap(({ region: { id, scan } }) =>
    !scans.includes(scan) && after.regions.every(({ region }) => region.id !== id) ? [id] : [],
  );
  return [scans, regions];
}

/** @param text of the address, names parted by semicolons */
function named(text: string | undefined, gone: readonly string[]): readonly string[] {
  return (text ?? '').split(';').filter((name) => gone.includes(name));
}

/** Null: none. */
export function removedWords(noun: 'Scan' | 'Region', names: readonly string[]): string | null {
  if (names.length === 0) return null;
  const list = names.map((name) => `“${name}”`).join(', ');
  const [nouns, were, it] = names.length === 1 ? [noun, 'was', 'it'] : [`${noun}s`, 'were', 'them'];
  return `${nouns} ${list} ${were} removed in another window. Undo brings ${it} back.`;
}
