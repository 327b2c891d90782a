/** The content-addressed store: each file once, under its SHA-256, whole or not at all. */
import { createHash, randomUUID } from 'node:crypto';
import { createReadStream, mkdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { mkdir, open, rename, rm, stat } from 'node:fs/promises';
import { dirname, join, sep } from 'node:path';
import { flushFolder } from '../files/flushFolder.ts';
import { decodeText } from '../files/readText.ts';
import { contentKey } from '../jobs/contentKey.ts';
import { SCAN_READER } from '../scans/scanInfo.ts';
import { contentKind } from './contentKind.ts';
import type { ContentKind } from './contentKind.ts';
import type { Database } from './database.ts';
import { LibraryError, storageFault } from './libraryError.ts';
import { plainName } from './plainName.ts';
import type { AddedFile, StoredFile } from './storedFile.ts';

interface FileRow {
  readonly hash: string;
  readonly kind: Exclude<StoredFile['kind'], 'other'>;
  readonly name: string;
  readonly ending: string;
  readonly bytes: number;
  /** JSON of `About`. */
  readonly about: string;
}

type About = ContentKind['about'] & {
  /** `SCAN_READER` of the program that read the scan; absent in what versions before it stored. */
  readonly reader?: number;
  /** What a later reader refused that an earlier one let in: one line. */
  readonly problem?: string;
};

const WENT_BACK = 'its file had gone from the library or changed there, and is back in its place';

export class FileStore {
  private readonly folder: string;
  private readonly database: Database;
  private readonly now: () => number;
  /** Kept out of the store; remembered while the program runs, so that its line can still be told. */
  private readonly refused = new Map<string, StoredFile>();
  private readonly known = new Map<string, StoredFile>();

  constructor(folder: string, database: Database, now: () => number) {
    this.folder = folder;
    this.database = database;
    this.now = now;
    // What a killed program was still receiving was never acknowledged.
    rmSync(this.incoming, { recursive: true, force: true });
    mkdirSync(this.incoming, { recursive: true });
  }

  /** @throws LibraryError 'disk-full', 'library-denied' */
  async add(bytes: AsyncIterable<Uint8Array>, name: string): Promise<AddedFile> {
    const plain = plainName(name);
    const temporary = join(this.incoming, randomUUID());
    try {
      const { hash, length } = await receive(bytes, temporary);
      const before = this.file(hash);
      if (before && before.problem === null && this.problem(hash) === null) {
        return { ...before, name: plain, already: this.whereUsed(before) };
      }
      const content = await contentKind(temporary, plain);
      if (content.kind === 'other' || content.problem !== null) return this.keepOut(hash, plain, length, content);
      await this.keep(temporary, hash, plain, length, content);
      const kept = this.file(hash);
      if (!kept)
        throw new LibraryError('no-such-file', `${plain}: not in the library; expected it there. Bring it in again.`);
      return { ...kept, name: plain, already: before?.problem === null ? WENT_BACK : null };
    } catch (error) {
      throw storageFault(error, `${plain} into ${this.folder}`);
    } finally {
      await rm(temporary, { force: true });
    }
  }

  /** @throws LibraryError 'file-missing' */
  async addFrom(path: string): Promise<AddedFile> {
    const found = await stat(path).catch(() => null);
    if (!found?.isFile()) {
      throw new LibraryError(
        'file-missing',
        `${path}: ${found ? 'no ordinary file' : 'no such file'}; expected a scan, a sheet, a layout or a reference. Check the name.`,
      );
    }
    return await this.add(createReadStream(path), path);
  }

  file(hash: string): StoredFile | null {
    const known = this.known.get(hash);
    if (known) return known;
    const row = this.database.all<FileRow>('SELECT * FROM file WHERE hash = ?', hash).at(0);
    if (!row) return this.refused.get(hash) ?? null;
    const { info, problem }: About = JSON.parse(row.about);
    const path = this.pathOf(hash, row.ending);
    const file: StoredFile = {
      hash,
      name: row.name,
      kind: row.kind,
      bytes: row.bytes,
      path,
      info: info ? { ...info, file: path } : null,
      problem: problem ?? null,
    };
    this.known.set(hash, file);
    return file;
  }

  /** Scans whose facts another version of the reader found, the last that came in first. */
  readByOthers(): string[] {
    return this.database
      .all<{ hash: string }>(
        `SELECT hash FROM file WHERE kind = 'scan' AND about ->> '$.reader' IS NOT ? ORDER BY added_at DESC, rowid DESC`,
        SCAN_READER,
      )
      .map(({ hash }) => hash);
  }

  /** What is in a scan, as today's reader tells it; a file that is gone or changed waits until it is back. @returns whether that is something else */
  async readAnew(hash: string): Promise<boolean> {
    const before = this.file(hash);
    if (!before || lengthOf(before.path) !== before.bytes) return false;
    // What hinders all reading, whoever needs its pixels tells.
    const content = await contentKind(before.path, before.name).catch(() => null);
    if (content?.kind !== 'scan') return false;
    const { about, problem } = content;
    const info = problem === null ? about.info : before.info;
    const now: About = { ...(info && { info }), reader: SCAN_READER, ...(problem !== null && { problem }) };
    this.database.run('UPDATE file SET about = ? WHERE hash = ?', JSON.stringify(now), hash);
    const isSame = before.problem === problem && contentKey(before.info) === contentKey(info);
    if (!isSame) this.known.delete(hash);
    return !isSame;
  }

  problem(hash: string): string | null {
    const file = this.file(hash);
    if (!file)
      return `no file with the content ${hash.slice(0, 12)}… is in the library; expected it there. Bring it in again.`;
    if (file.problem !== null) return file.problem;
    const length = lengthOf(file.path);
    if (length === file.bytes) return null;
    const found = length === null ? 'its file is gone from the library' : `its file in the library has ${length} bytes`;
    return `${file.name}: ${found}; expected the ${file.bytes} bytes that came in. Bring the same file in again: it goes back to its place.`;
  }

  /** @throws LibraryError 'no-such-file' */
  text(hash: string): string {
    const problem = this.problem(hash);
    const file = this.file(hash);
    if (problem !== null || !file) throw new LibraryError('no-such-file', problem ?? hash);
    return decodeText(readFileSync(file.path));
  }

  targetFiles(): {
    layouts: { hash: string; name: string; title: string }[];
    references: { hash: string; name: string; patches: number }[];
  } {
    const of = (kind: string) =>
      this.database
        .all<FileRow>('SELECT * FROM file WHERE kind = ? ORDER BY added_at DESC, rowid DESC', kind)
        .map(({ hash, name, about }) => {
          const { title = name, patches = 0 }: ContentKind['about'] = JSON.parse(about);
          return { hash, name, title, patches };
        });
    return {
      layouts: of('layout').map(({ hash, name, title }) => ({ hash, name, title })),
      references: of('reference').map(({ hash, name, patches }) => ({ hash, name, patches })),
    };
  }

  /** Paths of the store in a message become the names that the person knows. */
  named(message: string): string {
    const inStore = message.replaceAll(join(this.folder, 'scans', sep), '');
    return inStore.replaceAll(
      /[0-9a-f]{2}[\\/]([0-9a-f]{64})\.[a-z]+/g,
      (path, hash: string) => this.file(hash)?.name ?? path,
    );
  }

  private get incoming(): string {
    return join(this.folder, 'incoming');
  }

  private pathOf(hash: string, ending: string): string {
    return join(this.folder, 'scans', hash.slice(0, 2), `${hash}.${ending}`);
  }

  private keepOut(hash: string, name: string, bytes: number, { kind, problem }: ContentKind): AddedFile {
    const out = { hash, name, kind, bytes, path: this.pathOf(hash, 'bin'), info: null, problem };
    this.refused.set(hash, out);
    return { ...out, already: null };
  }

  private async keep(
    temporary: string,
    hash: string,
    name: string,
    length: number,
    { kind, ending, about }: ContentKind,
  ): Promise<void> {
    const path = this.pathOf(hash, ending);
    await mkdir(dirname(path), { recursive: true });
    await rename(temporary, path);
    await flushFolder(dirname(path));
    await flushFolder(dirname(dirname(path)));
    // The row comes last: it never names a file that is not whole and in its place.
    this.database.run(
      'INSERT INTO file (hash, kind, name, ending, bytes, about, added_at) VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING',
      hash,
      kind,
      name,
      ending,
      length,
      JSON.stringify(kind === 'scan' ? { ...about, reader: SCAN_READER } : about),
      new Date(this.now()).toISOString(),
    );
  }

  private whereUsed({ hash, name }: StoredFile): string {
    const use = this.database
      .all<{ scan: string; ink: string }>(
        `SELECT scan.body ->> '$.name' AS scan, ink.name AS ink FROM scan JOIN ink ON ink.id = scan.ink
       WHERE scan.hash = ? AND ink.removed_at IS NULL ORDER BY ink.id LIMIT 1`,
        hash,
      )
      .at(0);
    return use ? `already here as “${use.scan}” of “${use.ink}”` : `already here as “${name}”`;
  }
}

async function receive(bytes: AsyncIterable<Uint8Array>, file: string): Promise<{ hash: string; length: number }> {
  const sha256 = createHash('sha256');
  let length = 0;
  const handle = await open(file, 'wx', 0o600);
  try {
    for await (const part of bytes) {
      sha256.update(part);
      length += part.length;
      await handle.appendFile(part);
    }
    await handle.sync();
  } finally {
    await handle.close();
  }
  return { hash: sha256.digest('hex'), length };
}

function lengthOf(file: string): number | null {
  try {
    return statSync(file).size;
  } catch {
    return null;
  }
}
