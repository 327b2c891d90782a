/** A folder to write into that need not be there yet, with those above it. */
import { access, constants, mkdir, stat } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { OutputError } from './writeWhole.ts';

/** What would stop `makeOutputFolder` now, to be asked before long work starts. @throws OutputError */
export async function refuseUnmakeable(folder: string): Promise<void> {
  let place = resolve(folder);
  while (!(await isThere(place)) && dirname(place) !== place) place = dirname(place);
  const found = await stat(place).catch(() => null);
  if (found?.isDirectory() === false) {
    throw new OutputError(
      'output-not-a-file',
      `${folder}: ${place} is a file; expected a folder. Choose another name.`,
    );
  }
  await access(place, constants.W_OK).catch((error: unknown) => {
    throw unmakeable(folder, place, error);
  });
}

/**
 * One after another from the top: where the system takes no folder at all and says "no such file", as under /proc, Node's own `recursive` tries for ever.
 * @throws OutputError
 */
export async function makeOutputFolder(folder: string): Promise<void> {
  const missing: string[] = [];
  for (let place = resolve(folder); !(await isThere(place)) && dirname(place) !== place; place = dirname(place)) {
    missing.unshift(place);
  }
  for (const place of missing) {
    await mkdir(place).catch(async (error: unknown) => {
      // Another picture may have been quicker.
      if (!(await isThere(place))) throw unmakeable(folder, place, error);
    });
  }
}

function isThere(place: string): Promise<boolean> {
  return stat(place).then(
    () => true,
    () => false,
  );
}

function unmakeable(folder: string, place: string, error: unknown): OutputError {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  const why =
    code === 'EACCES' || code === 'EPERM' || code === 'EROFS'
      ? `writing at ${place} is not permitted`
      : code === 'ENAMETOOLONG'
        ? 'the name is too long for this disk'
        : code === 'ENOSPC'
          ? 'the disk is full'
          : `no folder can be made at ${place}`;
  return new OutputError('output-no-folder', `${folder}: ${why}; expected a folder to write into. Choose another.`);
}
