/** What all files of one run need is made by the first that asks, in a folder that goes when all have run (tests/beforeAll.mjs). */
import { existsSync, mkdtempSync, renameSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

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
 * @param make Fills it. Two workers may begin at once: one's is taken whole.
 */
export async function ofOneRun(name: string, make: (folder: string) => Promise<void>): Promise<string> {
  const place = join(folderOfRun(), name);
  if (existsSync(place)) return place;
  const begun = mkdtempSync(`${place}-`);
  await make(begun);
  try {
    renameSync(begun, place);
  } catch (error) {
    if (!existsSync(place)) throw error;
    rmSync(begun, { recursive: true, force: true, maxRetries: 5 });
  }
  return place;
}
