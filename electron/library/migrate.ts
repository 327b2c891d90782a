/** Brings a library to today's schema: forward only, all steps in one transaction, the file copied first. */
import { existsSync, renameSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Database } from './database.ts';
import { LibraryError } from './libraryError.ts';
import { MIGRATIONS } from './migrations/migrations.ts';

/** 'WETL': so that another program's database is not taken for a library. */
const APPLICATION = 0x5745544c;

/** @throws LibraryError 'library-newer', 'library-foreign' */
export function migrate(database: Database, file: string, migrations: readonly string[] = MIGRATIONS): void {
  const version = pragma(database, 'user_version');
  const application = pragma(database, 'application_id');
  const tables = database.all('SELECT name FROM sqlite_schema').length;
  if (application !== APPLICATION && (application !== 0 || tables > 0)) {
    throw new LibraryError(
      'library-foreign',
      `${file}: another program's database; expected a Wetline library or nothing. Choose another folder.`,
    );
  }
  if (version > migrations.length) {
    throw new LibraryError(
      'library-newer',
      `${file}: written by a newer Wetline (schema ${version}, this one knows ${migrations.length}); expected the same or an older one. ` +
        `Update Wetline; nothing was changed.`,
    );
  }
  if (version === migrations.length) return;
  if (version > 0) copyOnce(database, join(dirname(file), `library-before-${version + 1}.db`));
  const steps = (): void => {
    for (const step of migrations.slice(version)) database.exec(step);
    database.exec(`PRAGMA application_id = ${APPLICATION}; PRAGMA user_version = ${migrations.length};`);
  };
  if (version === 0) database.wholeFlushedLater(steps);
  else database.whole(steps);
}

/** Whole or not at all: a copy that was begun and stopped is made anew. */
function copyOnce(database: Database, copy: string): void {
  if (existsSync(copy)) return;
  const begun = `${copy}.begun`;
  rmSync(begun, { force: true });
  database.run('VACUUM INTO ?', begun);
  renameSync(begun, copy);
}

function pragma(database: Database, name: 'user_version' | 'application_id'): number {
  return database.all<Record<string, number>>(`PRAGMA ${name}`).at(0)?.[name] ?? 0;
}
