/**
 * One program a library. The lock is SQLite's own on a file beside the library: the system gives it back when the
 * program ends, however it ends, so that none is ever stale and none can be mistaken because a process number came again.
 * `in-use.json` says who holds it, for whoever comes second.
 */
import { DatabaseSync } from '@photostructure/sqlite';
import type { DatabaseSyncInstance } from '@photostructure/sqlite';
import { readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { LibraryError } from './libraryError.ts';
import { sqliteFault } from './sqliteFault.ts';

export class Lock {
  /** Where the window of a program was that was killed with the library open; null: none was. */
  readonly leftAt: string | null;
  private readonly folder: string;
  private readonly sqlite: DatabaseSyncInstance;

  private constructor(folder: string, sqlite: DatabaseSyncInstance, leftAt: string | null) {
    this.folder = folder;
    this.sqlite = sqlite;
    this.leftAt = leftAt;
  }

  /** @throws LibraryError 'library-in-use' */
  static take(folder: string): Lock {
    const file = join(folder, 'lock.db');
    let sqlite: DatabaseSyncInstance | null = null;
    try {
      sqlite = new DatabaseSync(file, { timeout: 0 });
      sqlite.exec('BEGIN EXCLUSIVE');
    } catch (error) {
      sqlite?.close();
      const fault = sqliteFault(error, file);
      throw fault instanceof LibraryError && fault.code === 'library-busy' ? inUse(folder) : fault;
    }
    const lock = new Lock(folder, sqlite, note(folder).url);
    lock.announce(null);
    return lock;
  }

  /** Says where this program's window is. The address may hold a token: nobody else may read it. */
  announce(url: string | null): void {
    const file = noteFile(this.folder);
    writeFileSync(`${file}.new`, JSON.stringify({ pid: process.pid, url }), { mode: 0o600 });
    renameSync(`${file}.new`, file);
  }

  release(): void {
    if (!this.sqlite.isOpen) return;
    rmSync(noteFile(this.folder), { force: true });
    this.sqlite.close();
  }
}

function noteFile(folder: string): string {
  return join(folder, 'in-use.json');
}

function inUse(folder: string): LibraryError {
  const { pid, url } = note(folder);
  return new LibraryError(
    'library-in-use',
    `${folder}: open in another Wetline already${pid === null ? '' : ` (process ${pid})`}; expected one at a time. ` +
      `${url === null ? 'Close that one first' : 'Use its window'}, or choose another folder.`,
    url,
  );
}

function note(folder: string): { pid: number | null; url: string | null } {
  try {
    const found: unknown = JSON.parse(readFileSync(noteFile(folder), 'utf8'));
    const field = (name: string): unknown =>
      found !== null && typeof found === 'object' ? Reflect.get(found, name) : undefined;
    const [pid, url] = [field('pid'), field('url')];
    return { pid: typeof pid === 'number' ? pid : null, url: typeof url === 'string' ? url : null };
  } catch {
    return { pid: null, url: null };
  }
}
