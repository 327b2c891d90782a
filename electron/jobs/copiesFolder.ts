/** Where unpacked copies lie while a program measures. One that was killed could not take its own away, and they are large: whoever comes next does. */
import { mkdtemp, readdir, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const NAME = /^wetline-unpacked-(\d+)-/;
/** Younger ones may be those of a program whose number means nothing here, as in a container that shares the folder. */
const LEFT_MS = 3_600_000;

/** @param parent @default the system's folder for temporary files @returns the path of an empty folder */
export async function newCopiesFolder(parent = tmpdir()): Promise<string> {
  await removeLeft(parent).catch(() => undefined);
  return await mkdtemp(join(parent, `wetline-unpacked-${process.pid}-`));
}

async function removeLeft(parent: string): Promise<void> {
  for (const name of await readdir(parent)) {
    const pid = NAME.exec(name)?.[1];
    if (pid === undefined || isRunning(Number(pid))) continue;
    const folder = join(parent, name);
    const found = await stat(folder).catch(() => null);
    // Somebody else's folder stays: it cannot be removed.
    if (found && Date.now() - found.mtimeMs > LEFT_MS) await rm(folder, { recursive: true }).catch(() => undefined);
  }
}

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return !(error instanceof Error && 'code' in error && error.code === 'ESRCH');
  }
}
