/** An empty library gets the sample ink: a window without anything in it teaches nothing. */
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readKeptMeasuring } from '../jobs/keptMeasuring.ts';
import type { Measuring } from '../jobs/measuring.ts';
import type { Library } from '../library/library.ts';
import { openSheet } from '../library/openSheet.ts';
import type { StoredFile } from '../library/storedFile.ts';

/** The same distance from the sources and from the built host. */
const SAMPLE_SHEET = fileURLToPath(new URL('../../sample-scans/sheet.json', import.meta.url));
/** What measuring it gives, beside it: made by `npm run samples-measured`, true by tests/main/keptSample.test.ts. */
const KEPT_FILE = 'measured.json';
/** Kept when it was done: who removes the sample does not want it back. */
const SETTING = 'sample-ink';
/** Kept once the sample was measured: a first start that was cut short is taken up at the next. */
const MEASURED = 'sample-ink-measured';

export type Measures = Pick<Measuring, 'warm' | 'calibrate' | 'start' | 'ended'>;

export interface FirstStartOptions {
  readonly sheet?: string;
  /** Gets a scan ready to be looked at, while the window loads: first its pixels, */
  readonly decode?: (scan: StoredFile) => Promise<void>;
  /** then its calibrated colours. */
  readonly look?: (ink: number, scan: string) => Promise<void>;
  /** Resolves when the window has shown a picture, or when it is no use to wait for that. */
  readonly shown?: Promise<void>;
}

/**
 * The sample comes in, marked as invented, with what was measured on it before this version was handed out; else it is
 * measured in the background.
 * @returns its id, and when its measuring has ended; null when there was nothing to do
 */
export async function firstStart(
  library: Library,
  measuring: Measures,
  { sheet = SAMPLE_SHEET, decode, look, shown }: FirstStartOptions = {},
): Promise<{ readonly ink: number; readonly measured: Promise<void> } | null> {
  if (library.setting(MEASURED) !== null) return null;
  const ink = await sampleInk(library, sheet, () => measuring.warm(), decode);
  if (ink === null) return null;
  return { ink, measured: measureSample(library, measuring, ink, { look, shown }) };
}

async function measureSample(
  library: Library,
  measuring: Measures,
  ink: number,
  { look, shown }: { readonly [K in 'look' | 'shown']: FirstStartOptions[K] },
): Promise<void> {
  try {
    // First what the eye waits for: the calibration that colours the scans, and the first of them, which is decoded while
    // the window loads. Measuring would share the processors with it.
    const [scan] = library.document(ink).scans;
    if (scan) {
      await measuring.calibrate(ink, scan.id);
      await look?.(ink, scan.id);
      await shown;
    }
    const ended = await measuring.ended(measuring.start(ink).id);
    if (ended?.state === 'done') library.setSetting(MEASURED, true);
  } catch {
    // The program is ending, or the ink was taken away meanwhile: the next start looks again.
  }
}

/** The sample, brought in when the library is empty; null: it is not on this shelf. */
async function sampleInk(
  library: Library,
  sheet: string,
  onMeasure: () => void,
  decode: FirstStartOptions['decode'],
): Promise<number | null> {
  const before = library.setting(SETTING);
  if (before !== null) return library.inks().find(({ id }) => id === before)?.id ?? null;
  if (library.inks().length > 0 || !existsSync(sheet)) return null;
  const kept = readKeptMeasuring(join(dirname(sheet), KEPT_FILE));
  if (kept) library.rememberAll(kept.results);
  if (!kept?.isWhole) onMeasure();
  let first = true;
  const onFile = (file: StoredFile): void => {
    if (file.kind !== 'scan' || !first) return;
    first = false;
    decode?.(file).catch(() => {});
  };
  const { ink } = await openSheet(library, sheet, { invented: true, onFile });
  library.setSetting(SETTING, ink);
  return ink;
}
