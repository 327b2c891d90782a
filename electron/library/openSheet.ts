/** A sheet and its files become an ink of the library. */
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { dirname, join, posix, resolve } from 'node:path';
import { BUILT_IN_LAYOUTS, BUILT_IN_REFERENCES } from '../sheet/builtIn.ts';
import { placeOf } from '../sheet/placeOf.ts';
import { parseSheet } from '../sheet/sheet.ts';
import type { Sheet } from '../sheet/sheetSchema.ts';
import type { DocumentScan, InkDocument } from './document.ts';
import type { Library, MadeBy } from './library.ts';
import { LibraryError } from './libraryError.ts';
import { withoutScans } from './referTo.ts';
import { plainPath, SheetFiles } from './sheetFiles.ts';
import type { NamedFile } from './sheetFiles.ts';
import { SheetTargets } from './sheetTargets.ts';
import type { StoredFile } from './storedFile.ts';
import { uniqueName } from './uniqueName.ts';

export interface OpenedSheet {
  readonly ink: number;
  /** One line for each file that is missing or no use; what rests on it is left out. */
  readonly problems: readonly string[];
}
export interface OpenSheetOptions extends MadeBy {
  /** Told of each file as soon as it is in the library. */
  readonly onFile?: (file: StoredFile) => void;
}

const READ_BYTES = 1 << 20;
const AT_ONCE = 4;

/**
 * A sheet from disk with the files that it names.
 * @param path The sheet, or a folder that holds `sheet.json`.
 * @throws LibraryError, SheetError when the sheet itself is no use
 */
export async function openSheet(library: Library, path: string, options: OpenSheetOptions = {}): Promise<OpenedSheet> {
  const found = await stat(path).catch(() => null);
  const file = resolve(found?.isDirectory() ? join(path, 'sheet.json') : path);
  const sheet = await library.addFileFrom(file);
  const uploads: NamedFile[] = [{ name: sheet.name, hash: sheet.hash }];
  if (sheet.kind === 'sheet' && sheet.problem === null) {
    const add = async (name: string): Promise<readonly NamedFile[]> => {
      const beside = placeOf(dirname(file), name);
      if (!(await stat(beside).catch(() => null))?.isFile()) return [];
      const added = await library.addFile(createReadStream(beside, { highWaterMark: READ_BYTES }), name);
      options.onFile?.(added);
      return [{ name, hash: added.hash }];
    };
    // The first by itself: it is what will be looked at. Of the others several at once, since the disk takes its time to flush each.
    const [first, ...others] = filesOf(parseSheet(library.text(sheet.hash), sheet.name));
    if (first !== undefined) uploads.push(...(await add(first)));
    for (let i = 0; i < others.length; i += AT_ONCE) {
      uploads.push(...(await Promise.all(others.slice(i, i + AT_ONCE).map(add))).flat());
    }
  }
  return await openSheetFiles(library, uploads, options);
}

/**
 * The sheet among files that are in the store already.
 * @throws LibraryError 'no-sheet', 'two-sheets', 'sheet-files-missing'; SheetError when the sheet itself is no use
 */
export async function openSheetFiles(
  library: Library,
  uploads: readonly NamedFile[],
  { invented = false, request = null }: OpenSheetOptions = {},
): Promise<OpenedSheet> {
  const given = theSheet(library, uploads);
  const sheet = parseSheet(library.text(given.hash), given.name);
  const files = new SheetFiles(library, given, uploads);
  const document = await toDocument(library, sheet, files);
  const missing = sheet.scans.length > 0 && document.scans.length === 0;
  if (missing) {
    throw new LibraryError(
      'sheet-files-missing',
      `${given.name}: none of its scans can be used (${files.problems[0]}); expected the sheet together with its files. Bring in their folder.`,
    );
  }
  return { ink: library.createWork(document, { invented, request }), problems: files.problems };
}

function theSheet(library: Library, uploads: readonly NamedFile[]): NamedFile {
  const sheets = uploads.filter(({ hash }) => library.file(hash)?.kind === 'sheet');
  const [first] = sheets;
  if (!first) {
    throw new LibraryError(
      'no-sheet',
      `no sheet among the ${uploads.length} files; expected one of format "wetline-sheet/1". Bring it in with its scans.`,
    );
  }
  const other = sheets.find(({ hash }) => hash !== first.hash);
  if (other) {
    throw new LibraryError(
      'two-sheets',
      `two sheets, ${first.name} and ${other.name}; expected one at a time. Bring them in one after the other.`,
    );
  }
  const { problem = null } = library.file(first.hash) ?? {};
  if (problem !== null) throw new LibraryError('sheet-invalid', problem);
  return first;
}

async function toDocument(library: Library, sheet: Sheet, files: SheetFiles): Promise<InkDocument> {
  // 'all' is what a document's own target serves: a scan of that name gets another.
  const other = uniqueName('all', ['all', ...sheet.scans.map(({ id }) => id)]);
  const idOf = (id: string): string => (id === 'all' ? other : id);
  const scans: DocumentScan[] = [];
  const lost: string[] = [];
  for (const { id, file, of, target: _, ...rest } of sheet.scans) {
    const stored = files.find(file, 'scan', `scan “${id}”`);
    if (!stored) lost.push(id);
    else
      scans.push({
        id: idOf(id),
        hash: stored.hash,
        name: posix.basename(plainPath(file)),
        ...rest,
        ...(of !== undefined && { of: idOf(of) }),
      });
  }
  const loaded = new SheetTargets(library, sheet, files, scans, idOf);
  const own = sheet.target ? await loaded.find(sheet.target, undefined) : null;
  for (const { id, target } of sheet.scans) {
    const at = scans.findIndex((scan) => scan.id === idOf(id));
    const found = target && at >= 0 ? await loaded.find(target, id) : null;
    if (found) scans[at] = { ...scans[at], target: found };
  }
  const document: InkDocument = {
    ink: sheet.ink ?? { name: 'unnamed ink' },
    ...(own && { target: own }),
    scans,
    regions: sheet.regions.map((region) => ({ ...region, scan: idOf(region.scan) })),
    ...(sheet.bench && { bench: sheet.bench }),
  };
  return withoutScans(document, lost.map(idOf));
}

/** Every file that a sheet names. */
function filesOf(sheet: Sheet): string[] {
  const targets = [sheet.target, ...sheet.scans.map(({ target }) => target)].filter((target) => target !== undefined);
  const ids = sheet.scans.map(({ id }) => id);
  return [
    ...new Set([
      ...sheet.scans.map(({ file }) => file),
      ...targets.flatMap(({ scan, layout, reference, white }) => [
        ...[scan, white].filter((name) => name !== undefined).filter((name) => !ids.includes(name)),
        ...(BUILT_IN_LAYOUTS.has(layout) ? [] : [layout]),
        ...(BUILT_IN_REFERENCES.has(reference) ? [] : [reference]),
      ]),
    ]),
  ];
}
