/** A sheet and its files become an ink of the library. */
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { dirname, join, posix, resolve } from 'node:path';
import { BUILT_IN_LAYOUTS } from '../sheet/layout.ts';
import { parseSheet } from '../sheet/sheet.ts';
import type { Sheet, SheetTarget } from '../sheet/sheetSchema.ts';
import type { DocumentScan, DocumentTarget, InkDocument } from './document.ts';
import type { Library } from './library.ts';
import { LibraryError } from './libraryError.ts';
import { withoutScans } from './referTo.ts';
import type { StoredFile } from './storedFile.ts';
import { uniqueName } from './uniqueName.ts';

export interface NamedFile {
  /** As it came: with the folders that it lay in, when they are known. */
  readonly name: string;
  readonly hash: string;
}
export interface OpenedSheet {
  readonly ink: number;
  /** One line for each file that is missing or no use; what rests on it is left out. */
  readonly problems: readonly string[];
}
export interface OpenSheetOptions {
  /** Its scans were rendered, nobody wrote them. @default false */
  readonly invented?: boolean;
}

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
    for (const name of filesOf(parseSheet(library.text(sheet.hash), sheet.name))) {
      const beside = resolve(dirname(file), name);
      if (!(await stat(beside).catch(() => null))?.isFile()) continue;
      uploads.push({ name, hash: (await library.addFile(createReadStream(beside), name)).hash });
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
  { invented = false }: OpenSheetOptions = {},
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
  return { ink: library.createWork(document, { invented }), problems: files.problems };
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

/** Finds what a sheet names among the files that came with it, and collects what is wrong. */
class SheetFiles {
  readonly problems: string[] = [];
  private readonly library: Library;
  private readonly folder: string;
  private readonly uploads: readonly { readonly path: string; readonly hash: string }[];

  constructor(library: Library, sheet: NamedFile, uploads: readonly NamedFile[]) {
    this.library = library;
    this.uploads = uploads.map(({ name, hash }) => ({ path: plainPath(name), hash }));
    this.folder = posix.dirname(plainPath(sheet.name));
  }

  /** By its place relative to the sheet, else by its bare name when only one file has it. Null: missing or no use, and said so. */
  find(name: string, kind: StoredFile['kind'], who: string): StoredFile | null {
    const plain = plainPath(name);
    const wanted = posix.isAbsolute(plain) ? plain : posix.join(this.folder, plain);
    const bare = posix.basename(wanted).toLowerCase();
    const exact = this.uploads.find(({ path }) => path === wanted);
    const alike = this.uploads.filter(({ path }) => posix.basename(path).toLowerCase() === bare);
    const hashes = new Set(alike.map(({ hash }) => hash));
    const hash = exact?.hash ?? (hashes.size === 1 ? alike[0].hash : undefined);
    const file = hash === undefined ? null : this.library.file(hash);
    if (!file) {
      const found = hashes.size > 1 ? `${hashes.size} files are called ${name}` : `${name} did not come with the sheet`;
      return this.refuse(`${who}: ${found}; expected it beside the sheet. Bring in the whole folder.`);
    }
    if (file.problem !== null) return this.refuse(`${who}: ${file.problem}`);
    if (file.kind !== kind)
      return this.refuse(`${who}: ${name} is a ${file.kind}; expected a ${kind}. Correct the sheet.`);
    return file;
  }

  private refuse(problem: string): null {
    if (!this.problems.includes(problem)) this.problems.push(problem);
    return null;
  }
}

async function toDocument(library: Library, sheet: Sheet, files: SheetFiles): Promise<InkDocument> {
  const ids = new Map<string, string>();
  for (const { id } of sheet.scans) ids.set(id, uniqueName(id, ['all', ...ids.values()]));
  const idOf = (id: string): string => ids.get(id) ?? id;
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
  const loaded = new TargetFiles(library, sheet, files, scans, idOf);
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

/** The targets that a sheet names; a target's scan that the sheet does not list becomes a scan of the document. */
class TargetFiles {
  private readonly library: Library;
  private readonly sheet: Sheet;
  private readonly files: SheetFiles;
  /** Grows by targets' own scans. */
  private readonly scans: DocumentScan[];
  private readonly idOf: (id: string) => string;

  constructor(library: Library, sheet: Sheet, files: SheetFiles, scans: DocumentScan[], idOf: (id: string) => string) {
    this.library = library;
    this.sheet = sheet;
    this.files = files;
    this.scans = scans;
    this.idOf = idOf;
  }

  async find(
    { scan, layout, reference, pointsMm }: SheetTarget,
    own: string | undefined,
  ): Promise<DocumentTarget | null> {
    const id = this.scan(scan ?? own ?? '');
    const layoutHash = await this.layout(layout);
    const referenceHash = this.files.find(reference, 'reference', 'target')?.hash;
    if (id === null || layoutHash === null || referenceHash === undefined) return null;
    return { scan: id, layout: layoutHash, reference: referenceHash, ...(pointsMm && { pointsMm }) };
  }

  private scan(name: string): string | null {
    const listed = this.sheet.scans.find(({ id }) => id === name);
    if (listed) {
      const id = this.idOf(listed.id);
      return this.scans.some((scan) => scan.id === id) ? id : null;
    }
    const file = this.files.find(name, 'scan', 'target');
    if (!file) return null;
    const before = this.scans.find(({ hash }) => hash === file.hash);
    if (before) return before.id;
    const taken = ['all', ...this.sheet.scans.map(({ id }) => this.idOf(id)), ...this.scans.map(({ id }) => id)];
    const id = uniqueName('target', taken);
    this.scans.push({ id, hash: file.hash, name: posix.basename(plainPath(name)) });
    return id;
  }

  private async layout(name: string): Promise<string | null> {
    const builtIn = BUILT_IN_LAYOUTS.get(name);
    if (!builtIn) return this.files.find(name, 'layout', 'target')?.hash ?? null;
    const bytes = new TextEncoder().encode(JSON.stringify(builtIn, null, 2));
    return (await this.library.addFile(once(bytes), `${name}.json`)).hash;
  }
}

async function* once(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes;
}

/** Every file that a sheet names. */
function filesOf(sheet: Sheet): string[] {
  const targets = [sheet.target, ...sheet.scans.map(({ target }) => target)].filter((target) => target !== undefined);
  const ids = sheet.scans.map(({ id }) => id);
  return [
    ...new Set([
      ...sheet.scans.map(({ file }) => file),
      ...targets.flatMap(({ scan, layout, reference }) => [
        ...(scan === undefined || ids.includes(scan) ? [] : [scan]),
        ...(BUILT_IN_LAYOUTS.has(layout) ? [] : [layout]),
        reference,
      ]),
    ]),
  ];
}

/** As a browser sends it: forward slashes, no leading './'. */
function plainPath(name: string): string {
  return posix.normalize(name.replaceAll('\\', '/'));
}
