/** An empty library gets the sample ink: a window without anything in it teaches nothing. */
import { fileURLToPath } from 'node:url';
import { existsSync } from 'node:fs';
import type { Measuring } from '../jobs/measuring.ts';
import type { Library } from '../library/library.ts';
import { openSheet } from '../library/openSheet.ts';

/** The same distance from the sources and from the built host. */
const SAMPLE_SHEET = fileURLToPath(new URL('../../sample-scans/sheet.json', import.meta.url));
/** Kept when it was done: who removes the sample does not want it back. */
const SETTING = 'sample-ink';

/**
 * Measured in the background, marked as invented.
 * @returns the sample's id; null when there was nothing to do
 */
export async function firstStart(library: Library, measuring: Measuring, sheet = SAMPLE_SHEET): Promise<number | null> {
  if (library.setting(SETTING) !== null || library.inks().length > 0 || !existsSync(sheet)) return null;
  const { ink } = await openSheet(library, sheet, { invented: true });
  library.setSetting(SETTING, ink);
  measuring.start(ink);
  return ink;
}
