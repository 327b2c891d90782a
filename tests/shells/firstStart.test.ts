import { cpSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, test } from 'vitest';
import type { Job } from '../../electron/backend/api.ts';
import { keptMeasuringText } from '../../electron/jobs/keptMeasuring.ts';
import { MEASURING_VERSION } from '../../electron/jobs/methodVersions.ts';
import { type Measures, firstStart } from '../../electron/shells/firstStart.ts';
import { testFolder } from '../host/folder.ts';
import { newFolder, openLibrary, sheetFolder } from '../library/smallLibrary.ts';

const folder = testFolder();
const SHEET = join(sheetFolder(folder), 'sheet.json');

const KEPT = keptMeasuringText([
  { key: 'b', kind: 'region', bytes: Uint8Array.of(4) },
  { key: 'a', kind: 'calibrate', bytes: Uint8Array.of(1, 2, 3) },
]);

/** Measures nothing, and keeps what it was asked for. */
function measuring(ends: Job['state']): Measures & { readonly asked: string[] } {
  const asked: string[] = [];
  const job = { id: 'job', ink: 1, done: 0, total: 0, what: '', measured: 0, kept: 0, problem: null } as const;
  return {
    asked,
    warm: () => void asked.push('warm'),
    calibrate: (_ink, scan) => {
      asked.push(`calibrate ${scan}`);
      return Promise.resolve(null);
    },
    start: (ink) => {
      asked.push(`measure ${ink}`);
      return { ...job, state: 'running' };
    },
    ended: () => Promise.resolve({ ...job, state: ends }),
  };
}

test('an empty library gets the sample, calibrated before it is measured, and once only', async () => {
  const library = openLibrary(newFolder());
  const first = measuring('done');
  const begun = await firstStart(library, first, { sheet: SHEET });
  await begun?.measured;
  expect(first.asked).toEqual(['warm', 'calibrate white', `measure ${begun?.ink}`]);
  expect(library.inks()).toMatchObject([{ invented: true }]);

  const second = measuring('done');
  expect(await firstStart(library, second, { sheet: SHEET })).toBeNull();
  expect(second.asked).toEqual([]);
  expect(library.inks()).toHaveLength(1);
});

test('a first start that was cut short is taken up at the next', async () => {
  const library = openLibrary(newFolder());
  await (
    await firstStart(library, measuring('cancelled'), { sheet: SHEET })
  )?.measured;
  const next = measuring('done');
  await (
    await firstStart(library, next, { sheet: SHEET })
  )?.measured;
  expect(next.asked.at(-1)).toMatch(/^measure/);
  expect(library.inks()).toHaveLength(1);
});

test('who took the sample away does not get it back, and a shelf with inks gets none', async () => {
  const library = openLibrary(newFolder());
  const begun = await firstStart(library, measuring('cancelled'), { sheet: SHEET });
  library.removeInk(begun?.ink ?? 0);
  expect(await firstStart(library, measuring('done'), { sheet: SHEET })).toBeNull();
  expect(library.inks()).toEqual([]);

  const own = openLibrary(newFolder());
  own.createInk({ name: 'Plover Blue', maker: null });
  expect(await firstStart(own, measuring('done'), { sheet: SHEET })).toBeNull();
  expect(own.inks()).toHaveLength(1);
});

test('what was measured on it before comes in with it, and nobody gets ready to measure', async () => {
  const library = openLibrary(newFolder());
  const first = measuring('done');
  await (
    await firstStart(library, first, { sheet: besideSheet(KEPT) })
  )?.measured;
  expect(first.asked).toEqual(['calibrate white', 'measure 1']);
  expect(library.recall('a')).toEqual(Uint8Array.of(1, 2, 3));
  expect(library.recall('b')).toEqual(Uint8Array.of(4));
});

test('of what other methods measured only the calibration comes in, which has its own version in its key', async () => {
  const library = openLibrary(newFolder());
  const first = measuring('done');
  const sheet = besideSheet(KEPT.replace(MEASURING_VERSION, 'region/0'));
  await (
    await firstStart(library, first, { sheet })
  )?.measured;
  expect(first.asked).toEqual(['warm', 'calibrate white', 'measure 1']);
  expect(library.recall('a')).toEqual(Uint8Array.of(1, 2, 3));
  expect(library.recall('b')).toBeNull();
});

test('it is measured once the window has shown a picture', async () => {
  const library = openLibrary(newFolder());
  const first = measuring('done');
  let show = (): void => {};
  const shown = new Promise<void>((resolve) => {
    show = resolve;
  });
  const begun = await firstStart(library, first, { sheet: SHEET, shown });
  await new Promise((resolve) => setImmediate(resolve));
  expect(first.asked).toEqual(['warm', 'calibrate white']);
  show();
  await begun?.measured;
  expect(first.asked.at(-1)).toBe('measure 1');
});

test.each([
  ['is cut short', KEPT.slice(0, -20)],
  ['is something else', '[]'],
])('what was measured before is left alone when it %s', async (_, text) => {
  const library = openLibrary(newFolder());
  const first = measuring('done');
  await (
    await firstStart(library, first, { sheet: besideSheet(text) })
  )?.measured;
  expect(first.asked).toEqual(['warm', 'calibrate white', 'measure 1']);
  expect(library.recall('a')).toBeNull();
});

test('its first scan is made ready to be looked at: its pixels while others come in, then its colours', async () => {
  const library = openLibrary(newFolder());
  const { asked, ...first } = measuring('done');
  const begun = await firstStart(library, first, {
    sheet: besideSheet(KEPT),
    decode: ({ name }) => {
      asked.push(`decode ${name} of ${library.inks().length}`);
      return Promise.reject(new Error('no matter'));
    },
    look: (ink, scan) => {
      asked.push(`look ${ink} ${scan}`);
      return Promise.resolve();
    },
  });
  await begun?.measured;
  expect(asked).toEqual(['decode white.png of 0', 'calibrate white', 'look 1 white', 'measure 1']);
});

/** The sound little sheet in a folder of its own, with a measured.json of this text. */
function besideSheet(text: string): string {
  const own = newFolder();
  cpSync(dirname(SHEET), own, { recursive: true });
  writeFileSync(join(own, 'measured.json'), text);
  return join(own, 'sheet.json');
}
