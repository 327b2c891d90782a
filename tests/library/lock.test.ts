import { cpSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { Library } from '../../electron/library/library.ts';
import { closeLibrary, newFolder, openLibrary } from './smallLibrary.ts';
import { startWriter } from './startWriter.ts';

const URL = 'http://127.0.0.1:4711/?token=abc';

test('a second program is refused while the first is alive, with where its window is', async () => {
  const folder = newFolder();
  const writer = startWriter(folder, URL);
  await writer.told(1);
  const { pid }: { pid: number } = JSON.parse(writer.lines[0]);
  expect(() => Library.open(folder)).toThrow(
    expect.objectContaining({
      code: 'library-in-use',
      url: URL,
      message: `${folder}: open in another Wetline already (process ${pid}); expected one at a time. Use its window, or choose another folder.`,
    }),
  );
  expect(statSync(join(folder, 'in-use.json')).mode & 0o777).toBe(0o600);
  await writer.kill();
  const library = openLibrary(folder);
  expect(JSON.parse(readFileSync(join(folder, 'in-use.json'), 'utf8'))).toEqual({ pid: process.pid, url: null });
  expect(library.inks()).toEqual([]);
});

test('a note left by a program that is gone stands in nobody’s way, even when its number lives again', () => {
  const folder = newFolder();
  // This very process: as if the number had been given out anew.
  writeFileSync(join(folder, 'in-use.json'), JSON.stringify({ pid: process.pid, url: URL }));
  expect(openLibrary(folder).inks()).toEqual([]);
});

test('two libraries on one folder in one program: the second is refused until the first is closed', () => {
  const first = openLibrary();
  first.announce({ url: URL });
  expect(() => Library.open(first.folder)).toThrow(expect.objectContaining({ code: 'library-in-use', url: URL }));
  // Being refused has not taken the lock from the first.
  expect(() => Library.open(first.folder)).toThrow(expect.objectContaining({ code: 'library-in-use' }));
  const ink = first.createInk({ name: 'Curlew Midnight', maker: null });
  closeLibrary(first);
  // Once more does no harm, not even to whoever holds it next.
  first.close();
  expect(openLibrary(first.folder).document(ink).ink.name).toBe('Curlew Midnight');
});

test('a note that cannot be read still leaves one clear line', () => {
  const first = openLibrary();
  writeFileSync(join(first.folder, 'in-use.json'), '{"pid": ');
  expect(() => Library.open(first.folder)).toThrow(
    expect.objectContaining({
      url: null,
      message: expect.stringMatching(/already; expected one at a time\. Close that one first/),
    }),
  );
});

test('a library that was moved while it is open takes nothing more, and takes it again when it is back', () => {
  const library = openLibrary();
  const ink = library.createInk({ name: 'Curlew Midnight', maker: null });
  const rename = (name: string) => library.edit(ink, { edit: 'changeInk', name, maker: null });
  const away = `${library.folder}-away`;
  renameSync(library.folder, away);
  const gone = expect.objectContaining({ code: 'library-gone' });
  expect(() => rename('lost')).toThrow(gone);
  // A copy in its place is not the file that is open.
  cpSync(away, library.folder, { recursive: true });
  expect(() => rename('lost')).toThrow(gone);
  rmSync(library.folder, { recursive: true });
  renameSync(away, library.folder);
  rename('Curlew Noon');
  closeLibrary(library);
  expect(openLibrary(library.folder).document(ink).ink.name).toBe('Curlew Noon');
});
