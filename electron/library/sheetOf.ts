/** An ink's work as a sheet with its files, for whoever measures it elsewhere: `wetline measure` reads what comes out. */
import type { Sheet } from '../sheet/sheetSchema.ts';
import { documentSheet } from './documentSheet.ts';
import type { Library } from './library.ts';
import { uniqueName } from './uniqueName.ts';

export interface SheetWithFiles {
  readonly sheet: Sheet;
  /** What lies beside the sheet: the name in it, and where the bytes are. */
  readonly files: readonly { readonly name: string; readonly path: string }[];
}

/** @throws LibraryError 'no-such-ink' */
export function sheetOf(library: Library, ink: number): SheetWithFiles {
  const files = new Map<string, { name: string; path: string }>();
  const nameOf = (hash: string, known?: string): string => {
    const before = files.get(hash);
    if (before) return before.name;
    const stored = library.file(hash);
    const taken = ['sheet.json', ...[...files.values()].map(({ name }) => name)];
    const name = uniqueName(known ?? stored?.name ?? hash, taken);
    if (stored) files.set(hash, { name, path: stored.path });
    return name;
  };
  const sheet = documentSheet(library.document(ink), nameOf);
  return { sheet, files: [...files.values()] };
}
