/** Folders for pictures: what cannot be made is told before the work starts, and nowhere is it tried for ever. */
import { existsSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { makeOutputFolder, refuseUnmakeable } from '../../electron/files/outputFolder.ts';
import { testFolder } from './folder.ts';

const folder = testFolder();

test('is made with those above it, also by two at once', async () => {
  const deep = join(folder.path, 'a', 'b', 'c');
  await refuseUnmakeable(deep);
  expect(existsSync(join(folder.path, 'a'))).toBe(false);
  await Promise.all([makeOutputFolder(deep), makeOutputFolder(deep)]);
  expect(statSync(deep).isDirectory()).toBe(true);
});

test('below a file there is none', async () => {
  const file = folder.put('white.png', '');
  const below = join(file, 'drawn');
  const words = `${below}: ${file} is a file; expected a folder. Choose another name.`;
  await expect(refuseUnmakeable(below)).rejects.toMatchObject({ name: 'OutputError', message: words });
});

test.each([
  ['where the system takes none', '/proc/drawn/here', 'no folder can be made at /proc/drawn'],
  ['under a name without end', join(folder.path, 'x'.repeat(300)), 'the name is too long for this disk'],
])('%s: one line, at once', async (_, place, why) => {
  await expect(makeOutputFolder(place)).rejects.toMatchObject({
    name: 'OutputError',
    message: `${place}: ${why}; expected a folder to write into. Choose another.`,
  });
});
