/**
 * An edit made from an earlier state of a thing, put onto the thing as it is now: another window may have been quicker. Fields that the edit
 * leaves alone stay as they are now; those that it changes become what it says, and what was overtaken by that is told.
 */
import { isDeepStrictEqual } from 'node:util';
import { saidOnto } from '../../analysis/measure/strip/saidOnto.ts';
import { regionSchema, type SheetRegion } from '../sheet/sheetSchema.ts';
import type { DocumentTarget, Edit, InkDocument } from './document.ts';
import type { CheckedEdit } from './editSchema.ts';
import { changedFields, settingWord } from './editWords.ts';
import { sheetRegion } from './firstId.ts';

/** An edit whose shape is sound. */
export type SoundEdit = CheckedEdit | Extract<Edit, { edit: 'setTarget' }>;

export interface OntoNow {
  readonly edit: SoundEdit;
  /** In words: what another window had changed, and now is as this edit says; null: nothing. */
  readonly overtook: string | null;
}

type Said = NonNullable<Extract<SheetRegion, { kind: 'strip' }>['bands']>[number];
type Kind<E extends CheckedEdit['edit']> = Extract<CheckedEdit, { edit: E }>;

export function ontoNow(document: InkDocument, edit: CheckedEdit): OntoNow {
  switch (edit.edit) {
    case 'changeRegion':
      return regionOntoNow(document, edit);
    case 'changeScan': {
      const now = document.scans.find(({ id }) => id === edit.id);
      if (!edit.from || !now) return { edit, overtook: null };
      // What was never said is null here, and a side that was never said the front.
      const said = { paper: null, of: null, dpi: null, side: 'front', ...now };
      const overtaken = overtakenFields({ ...said, ...edit.from }, { ...said, ...edit.change }, said);
      return { edit, overtook: overtookWords(overtaken, `scan “${edit.id}”`) };
    }
    case 'setTarget':
      return targetOntoNow(document, edit);
    case 'changeInk': {
      const { from, name, maker } = edit;
      if (!from) return { edit, overtook: null };
      const now = { name: document.ink.name, maker: document.ink.maker ?? null, claim: document.ink.claim ?? null };
      const wanted = { name, maker, claim: edit.claim === undefined ? from.claim : edit.claim };
      const onto = {
        name: ifChanged(from.name, wanted.name, now.name),
        maker: ifChanged(from.maker, wanted.maker, now.maker),
        claim: ifChanged(from.claim, wanted.claim, now.claim),
      };
      const overtook = overtookWords(overtakenFields(from, wanted, now), 'the ink');
      return { edit: { edit: 'changeInk', ...onto }, overtook };
    }
    default:
      return { edit, overtook: null };
  }
}

function regionOntoNow(document: InkDocument, edit: Kind<'changeRegion'>): OntoNow {
  const { from, region: wanted } = edit;
  if (!from) return { edit, overtook: null };
  const there = document.regions.find(({ id }) => id === edit.id);
  if (!there) {
    if (document.scans.every(({ id }) => id !== wanted.scan)) return { edit, overtook: null };
    const overtook = `Region “${edit.id}” was removed in another window meanwhile; with your change it is here again. Undo takes it away.`;
    return { edit: { edit: 'addRegion', region: wanted }, overtook };
  }
  const now = sheetRegion(there);
  const changed = changedFields(from, wanted);
  const theirs = Object.entries(now).filter(([field]) => !changed.includes(field));
  const mine = Object.entries(wanted).filter(([field]) => changed.includes(field));
  const { words: bands, overtaken: theirBands } = saidOnto(bandsOf(from), bandsOf(wanted), bandsOf(now));
  // What the two windows did may not go together: a kind without nibs, and a nib.
  const together = regionSchema.safeParse({
    ...Object.fromEntries([...theirs, ...mine]),
    ...(changed.includes('bands') && { bands: bands.length === 0 ? undefined : bands }),
  });
  const overtaken = together.success
    ? overtakenFields(from, wanted, now).filter((field) => field !== 'bands' || theirBands.length > 0)
    : changedFields(from, now);
  return {
    edit: { ...edit, region: together.success ? together.data : wanted },
    overtook: overtookWords(overtaken, `“${edit.id}”`),
  };
}

function bandsOf(region: SheetRegion): readonly Said[] {
  return region.kind === 'strip' ? (region.bands ?? []) : [];
}

/** Where the points lie means something for one layout on one scan only: all but the white sheet is one thing. */
function targetOntoNow(document: InkDocument, edit: Kind<'setTarget'>): OntoNow {
  const { from, serves, target } = edit;
  if (from === undefined) return { edit, overtook: null };
  const now = (serves === 'all' ? document.target : document.scans.find(({ id }) => id === serves)?.target) ?? null;
  const [lay, lies, wanted] = [from, now, target].map(withoutWhite);
  const place = ifChanged(lay, wanted, lies);
  const white = ifChanged(from?.white, target?.white, now?.white);
  const isOvertaken =
    overtakes(lay, wanted, lies) ||
    (target !== null && now !== null && overtakes(from?.white, target.white, now.white));
  return {
    edit: { edit: 'setTarget', serves, target: place && { ...place, ...(white !== undefined && { white }) } },
    overtook: isOvertaken ? wordsOf(serves === 'all' ? 'the target' : `the target of “${serves}”`, 'was') : null,
  };
}

function withoutWhite(target: DocumentTarget | null): DocumentTarget | null {
  if (!target) return null;
  const { white: _, ...place } = target;
  return place;
}

function ifChanged<T>(from: T, wanted: T, now: T): T {
  return isDeepStrictEqual(from, wanted) ? now : wanted;
}

/** Whether `wanted` and `now` both are otherwise than `from`, and not the same. */
function overtakes<T>(from: T, wanted: T, now: T): boolean {
  return !isDeepStrictEqual(from, wanted) && !isDeepStrictEqual(from, now) && !isDeepStrictEqual(wanted, now);
}

function overtakenFields(from: object, wanted: object, now: object): string[] {
  return changedFields(from, wanted).filter((field) =>
    overtakes<unknown>(Reflect.get(from, field), Reflect.get(wanted, field), Reflect.get(now, field)),
  );
}

function overtookWords(fields: readonly string[], whose: string): string | null {
  if (fields.length === 0) return null;
  const names = fields.map(settingWord);
  const list = names.length === 1 ? names[0] : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
  const isOne = names.length === 1 && fields[0] !== 'bands';
  return wordsOf(`the ${list} of ${whose}`, isOne ? 'was' : 'were');
}

function wordsOf(what: string, was: 'was' | 'were'): string {
  const [first, ...rest] = what;
  return `${first.toUpperCase()}${rest.join('')} ${was} changed in another window meanwhile; yours is kept. Undo brings back theirs.`;
}
