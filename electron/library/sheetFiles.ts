/** The files that came with a sheet, found by the names that the sheet gives them. */
import { posix } from 'node:path';
import type { Library } from './library.ts';
import type { StoredFile } from './storedFile.ts';

export interface NamedFile {
  /** As it came: with the folders that it lay in, when they are known. */
  readonly name: string;
  readonly hash: string;
}

/** Finds what a sheet names among the files that came with it, and collects what is wrong. */
export class SheetFiles {
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

/** As a browser sends it: forward slashes, no leading './'. A Mac sends ü as two letters, which a sheet writes as one. */
export function plainPath(name: string): string {
  return posix.normalize(name.replaceAll('\\', '/')).normalize('NFC');
}
