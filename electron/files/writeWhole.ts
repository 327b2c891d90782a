/** Writes a file whole or not at all, and never over another one unless told to. */
import { randomUUID } from 'node:crypto';
import { access, constants, link, open, realpath, rename, rm, stat } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { flushFolder } from './flushFolder.ts';

export type OutputErrorCode = 'output-exists' | 'output-not-a-file' | 'output-no-folder' | 'output-denied';

/** Why something cannot be written; nothing has been. One line: what was found, what was expected, what to do. */
export class OutputError extends Error {
  readonly code: OutputErrorCode;

  constructor(code: OutputErrorCode, message: string) {
    super(message);
    this.name = 'OutputError';
    this.code = code;
  }
}

export interface WriteOptions {
  /** Replace what is there. */
  readonly force: boolean;
}

/**
 * A temporary file beside the target, flushed to disk, then moved into place: whoever reads sees the old file, no file or
 * the whole new one. The folder must exist.
 * @throws OutputError
 */
export async function writeWhole(path: string, data: string | Uint8Array, { force }: WriteOptions): Promise<void> {
  await refuseUnwritable(path, force);
  const target = await behindLinks(resolve(path));
  const temporary = join(dirname(target), `.${basename(target)}.tmp-${randomUUID().slice(0, 8)}`);
  try {
    await writeFlushed(temporary, data);
    if (force) await rename(temporary, target);
    else await moveWithoutReplacing(temporary, target, path);
    await flushFolder(dirname(target));
  } catch (error) {
    throw asOutputError(path, error);
  } finally {
    // A name that is too long cannot be removed either; what went wrong before is what a person should read.
    await rm(temporary, { force: true }).catch(() => undefined);
  }
}

/**
 * What would stop `writeWhole` now, to be asked before long work starts.
 * @throws OutputError
 */
export async function refuseUnwritable(path: string, force: boolean): Promise<void> {
  const [there, folder] = await Promise.all([kindOf(path), kindOf(dirname(resolve(path)))]);
  if (there !== null && there !== 'file') {
    throw new OutputError(
      'output-not-a-file',
      `${path}: a ${there}; expected the name of a file to write. Choose another name.`,
    );
  }
  // Resolved, "pictures/" would become a file of that name.
  if (/[/\\]$/.test(path)) {
    throw new OutputError(
      'output-not-a-file',
      `${path}: the name of a folder; expected the name of a file to write. Add it.`,
    );
  }
  if (there === 'file' && !force) throw exists(path);
  if (folder !== 'folder') {
    throw new OutputError(
      'output-no-folder',
      `${path}: its folder does not exist; expected one that does. Make it first.`,
    );
  }
  await access(dirname(resolve(path)), constants.W_OK).catch((error: unknown) => {
    throw asOutputError(path, error);
  });
}

/** A link stays a link: what it points at is replaced. */
function behindLinks(path: string): Promise<string> {
  return realpath(path).catch(() => path);
}

function exists(path: string): OutputError {
  return new OutputError('output-exists', `${path} exists and is not replaced; choose another name or add --force.`);
}

async function kindOf(path: string): Promise<'file' | 'folder' | 'device' | null> {
  try {
    const found = await stat(path);
    return found.isFile() ? 'file' : found.isDirectory() ? 'folder' : 'device';
  } catch {
    return null;
  }
}

async function writeFlushed(file: string, data: string | Uint8Array): Promise<void> {
  const handle = await open(file, 'wx');
  try {
    await handle.writeFile(data);
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** A hard link fails where a file has appeared meanwhile; a rename would silently replace it. */
async function moveWithoutReplacing(temporary: string, target: string, path: string): Promise<void> {
  try {
    await link(temporary, target);
  } catch (error) {
    if (codeOf(error) === 'EEXIST') throw exists(path);
    // File systems without hard links (memory cards, some shares): the remaining gap is the time between these two lines.
    if ((await kindOf(target)) !== null) throw exists(path);
    await rename(temporary, target);
  }
}

function asOutputError(path: string, error: unknown): unknown {
  const code = codeOf(error);
  if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS') {
    return new OutputError('output-denied', `${path}: writing there is not permitted; choose another folder.`);
  }
  if (code === 'ENAMETOOLONG') {
    return new OutputError('output-denied', `${path}: the name is too long for this disk; choose a shorter one.`);
  }
  if (code === 'ENOSPC') return new OutputError('output-denied', `${path}: the disk is full; free some space.`);
  if (code === 'EDQUOT')
    return new OutputError('output-denied', `${path}: your share of the disk is full; free some space.`);
  if (code === 'EFBIG') {
    return new OutputError(
      'output-denied',
      `${path}: files as large as this may not be written there; choose another folder, or raise the limit (ulimit -f).`,
    );
  }
  // The folder was there when it was looked for: /proc takes no files and says "no such file", some disks take no such names.
  if (code === 'ENOENT' || code === 'EINVAL') {
    return new OutputError('output-denied', `${path}: no such file can be made there; choose another name or folder.`);
  }
  return error;
}

function codeOf(error: unknown): unknown {
  return error instanceof Error && 'code' in error ? error.code : undefined;
}
