/** What is named as a text and is none: told at once, for a pipe would be waited for and a device read for ever. */
import { execFileSync } from 'node:child_process';
import { mkdirSync, truncateSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { readText, whyUnreadable } from '../../electron/files/readText.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();

const pipe = join(folder.path, 'pipe.json');
execFileSync('mkfifo', [pipe]);
const huge = folder.put('huge.json', '{');
truncateSync(huge, 20_000_001); // zeros that take no room on the disk
mkdirSync(join(folder.path, 'folder.json'));

test.each([
  ['a pipe', pipe, 'no ordinary file'],
  ['a device', '/dev/zero', 'no ordinary file'],
  ['a folder', join(folder.path, 'folder.json'), 'a folder'],
  ['a scan under a text’s name', huge, '20 MB long, which no text here is'],
])('%s', async (_, file, why) => {
  const refusal: unknown = await readText(file).catch((error: unknown) => error);
  expect(whyUnreadable(refusal)).toBe(why);
});

test('named as the sheet, it is refused in one line', async () => {
  await expect(loadSheet(pipe)).rejects.toMatchObject({
    code: 'sheet-missing',
    message: `${pipe}: no ordinary file; expected a sheet (JSON) or a folder with a sheet.json.`,
  });
});
