/** The library's SQLite file: every commit flushed to disk, and faults of storage in words. */
import { statSync } from 'node:fs';
import { DatabaseSync } from '@photostructure/sqlite';
import type { DatabaseSyncInstance, StatementSyncInstance } from '@photostructure/sqlite';
import { LibraryError } from './libraryError.ts';
import { sqliteFault } from './sqliteFault.ts';

export type SqlValue = string | number | null | Uint8Array;

export class Database {
  private readonly sqlite: DatabaseSyncInstance;
  private readonly file: string;
  private readonly statements = new Map<string, StatementSyncInstance>();
  private depth = 0;
  /** Which file lay there when it was opened; null: none of the disk's. */
  private readonly opened: string | null;

  /** @throws LibraryError */
  constructor(file: string) {
    this.file = file;
    let sqlite: DatabaseSyncInstance | null = null;
    try {
      sqlite = new DatabaseSync(file, { enableForeignKeyConstraints: true, timeout: 2000 });
      // WAL with a flush at every commit: what was acknowledged survives a kill and a power cut.
      sqlite.exec('PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA trusted_schema = OFF;');
      this.sqlite = sqlite;
      this.opened = whichFile(file);
    } catch (error) {
      sqlite?.close();
      throw this.inWords(error);
    }
  }

  /** Several statements without values. */
  exec(sql: string): void {
    try {
      this.sqlite.exec(sql);
    } catch (error) {
      throw this.inWords(error);
    }
  }

  run(sql: string, ...values: readonly SqlValue[]): { readonly changes: number; readonly lastId: number } {
    try {
      const { changes, lastInsertRowid } = this.prepared(sql).run(...values);
      return { changes, lastId: Number(lastInsertRowid) };
    } catch (error) {
      throw this.inWords(error);
    }
  }

  /** Rows as the caller says that they are: STRICT tables hold the types of their columns. */
  all<R extends object>(sql: string, ...values: readonly SqlValue[]): R[] {
    try {
      return this.prepared(sql).all(...values);
    } catch (error) {
      throw this.inWords(error);
    }
  }

  /** All of it or nothing; within another one it is a part of that. */
  whole<T>(work: () => T): T {
    if (this.depth > 0) return work();
    this.exec('BEGIN IMMEDIATE');
    this.depth++;
    try {
      const result = work();
      this.refuseGone();
      this.exec('COMMIT');
      return result;
    } catch (error) {
      if (this.sqlite.isTransaction) this.sqlite.exec('ROLLBACK');
      throw error;
    } finally {
      this.depth--;
    }
  }

  /** The same, flushed to disk together with what is acknowledged next: for what could be made anew. Not within another one. */
  wholeFlushedLater<T>(work: () => T): T {
    this.exec('PRAGMA synchronous = NORMAL');
    try {
      return this.whole(work);
    } finally {
      this.exec('PRAGMA synchronous = FULL');
    }
  }

  close(): void {
    if (!this.sqlite.isOpen) return;
    this.statements.clear();
    this.sqlite.close();
  }

  /** Moved or removed while it is open, the file takes what nobody will find again. @throws LibraryError 'library-gone' */
  private refuseGone(): void {
    if (this.opened === null || whichFile(this.file) === this.opened) return;
    throw new LibraryError(
      'library-gone',
      `${this.file}: it lies there no more, or another does; expected the file that was opened. Put it back in its place, or end Wetline and start it where the library lies now.`,
    );
  }

  private prepared(sql: string): StatementSyncInstance {
    const known = this.statements.get(sql);
    if (known) return known;
    const statement = this.sqlite.prepare(sql);
    this.statements.set(sql, statement);
    return statement;
  }

  private inWords(error: unknown): unknown {
    return sqliteFault(error, this.file);
  }
}

/** Null: none is there. */
function whichFile(path: string): string | null {
  const stats = statSync(path, { bigint: true, throwIfNoEntry: false });
  return stats ? `${stats.dev}/${stats.ino}` : null;
}
