/** The sample brought into a library and measured as the window does it. */
import { setMaxListeners } from 'node:events';
import { join } from 'node:path';
import { standingOf } from '../electron/answers/standing.ts';
import { Calibrations } from '../electron/jobs/calibrations.ts';
import type { MeasureOutcome } from '../electron/jobs/measureSheet.ts';
import { measureStanding } from '../electron/jobs/measureStanding.ts';
import { RememberingRunner, type RememberingOptions, type ResultStore } from '../electron/jobs/rememberingRunner.ts';
import type { TaskRunner } from '../electron/jobs/tasks.ts';
import { Library } from '../electron/library/library.ts';
import { openSheet } from '../electron/library/openSheet.ts';

/** Where what was measured is kept for the first start. */
export const KEPT_FILE = join(import.meta.dirname, 'measured.json');
const SHEET = join(import.meta.dirname, 'sheet.json');

export interface SampleMeasuring {
  /** Of a library; made when it is not there. */
  readonly folder: string;
  readonly store: ResultStore;
  /** Carries out what the store does not know. */
  readonly runner: TaskRunner;
  readonly onResult?: NonNullable<RememberingOptions['onResult']>;
}

export async function measureSample({ folder, store, runner, onResult }: SampleMeasuring): Promise<MeasureOutcome> {
  const library = Library.open(folder);
  try {
    const { ink } = await openSheet(library, SHEET, { invented: true });
    const standing = standingOf(library, ink);
    const hashes = new Map([...standing.scans.values()].flatMap(({ file }) => (file ? [[file.path, file.hash]] : [])));
    const hashOf = (path: string): string => hashes.get(path) ?? path;
    const remembering = new RememberingRunner(runner, store, { hashOf, ...(onResult && { onResult }) });
    const { signal } = new AbortController();
    setMaxListeners(0, signal);
    return await measureStanding(standing, remembering, new Calibrations(library, () => {}), {
      signal,
      onProgress: () => {},
      onRegion: () => {},
      inWords: String,
    });
  } finally {
    library.close();
  }
}
