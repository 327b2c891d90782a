import { LibraryError } from './libraryError.ts';

/** What SQLite ran into, in words that a person can act on; what they cannot is left as it is. @param file The database. */
export function sqliteFault(error: unknown, file: string): unknown {
  const name = error instanceof Error && 'sqliteCodeName' in error ? String(error.sqliteCodeName) : '';
  const why = error instanceof Error ? error.message : String(error);
  const is = (...names: string[]): boolean => names.some((code) => name.startsWith(`SQLITE_${code}`));
  const told = (code: string, message: string) => new LibraryError(code, `${file}: ${message}`);
  if (is('FULL')) {
    return told(
      'disk-full',
      'the disk is full; expected room to save. Free some space and do it again; nothing was changed.',
    );
  }
  if (is('READONLY', 'PERM', 'CANTOPEN')) {
    return told(
      'library-denied',
      'it cannot be opened for writing; expected a file of your own. Look at the folder, its rights and the disk.',
    );
  }
  if (is('NOTADB', 'CORRUPT')) {
    return told(
      'library-damaged',
      `it is damaged (${why}); expected Wetline's library. Move it aside and put a copy in its place, ` +
        `for instance library-before-….db beside it.`,
    );
  }
  if (is('BUSY')) {
    return told('library-busy', 'another program holds it; expected it free. Close that program and do it again.');
  }
  if (is('IOERR')) {
    return told('library-storage', `the disk would not read or write (${why}); look at the disk and do it again.`);
  }
  return error;
}
