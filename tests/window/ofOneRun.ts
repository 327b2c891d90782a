/** What all files of one run need is made by the first that asks, in a folder that goes when all have run (tests/beforeAll.mjs). */
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';

let own: string | null = null;

/** Without a run of tests, as for benches: this process's own. */
function folderOfRun(): string {
  const given = process.env.WETLINE_RUN_FOLDER;
  if (given !== undefined) return given;
  if (own === null) {
    const folder = mkdtempSync(join(tmpdir(), 'wetline-run-'));
    process.once('exit', () => rmSync(folder, { recursive: true, force: true, maxRetries: 5 }));
    own = folder;
  }
  return own;
}

/**
 * A folder, to be read and copied, not changed.
 * @param make Fills it. Workers that ask meanwhile wait for it: to measure a sample takes them longer the more of them do it at once.
 */
export async function ofOneRun(name: string, make: (folder: string) => Promise<void>): Promise<string> {
  const place = join(folderOfRun(), name);
  const begun = `${place}-begun`;
  while (!existsSync(place)) {
    if (!isBegunHere(begun)) await wait(50);
    // It may have come to its place in between.
    else if (existsSync(place)) rmSync(begun, { recursive: true });
    else await madeWhole(begun, place, make);
  }
  return place;
}

/** false: by another. */
function isBegunHere(folder: string): boolean {
  try {
    mkdirSync(folder);
    return true;
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST') return false;
    throw error;
  }
}

async function madeWhole(begun: string, place: string, make: (folder: string) => Promise<void>): Promise<void> {
  try {
    await make(begun);
    renameSync(begun, place);
  } catch (error) {
    rmSync(begun, { recursive: true, force: true, maxRetries: 5 });
    throw error;
  }
}
