/** A folder with those above it. */
import { mkdirSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { LibraryError } from './libraryError.ts';

/**
 * One after another from the top: where the system takes no folder at all and says "no such file", as under /proc,
 * Node's own `recursive` tries for ever.
 *
 * @param folder Absolute. @throws LibraryError 'library-no-folder', whatever the file system says
 */
export function makeFolder(folder: string): void {
  const missing: string[] = [];
  for (let place = folder; isMissing(place); place = dirname(place)) {
    missing.unshift(place);
    if (dirname(place) === place) break;
  }
  for (const place of missing) make(place, folder);
  // What stands there already may be no folder.
  if (missing.length === 0) mkdirSync(folder, { recursive: true });
}

function make(place: string, whole: string): void {
  try {
    mkdirSync(place, { mode: 0o700 });
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? error.code : undefined;
    // Another program may have been quicker.
    if (code === 'EEXIST' && statSync(place).isDirectory()) return;
    if (code !== 'ENOENT' && code !== 'ENOSYS' && code !== 'EINVAL' && code !== 'ENODEV') throw error;
    throw new LibraryError(
      'library-no-folder',
      `the library in ${whole}: no folder can be made at ${place}; expected a place on a disk that can be written. ` +
        `Choose another folder.`,
    );
  }
}

function isMissing(place: string): boolean {
  return statSync(place, { throwIfNoEntry: false }) === undefined;
}
