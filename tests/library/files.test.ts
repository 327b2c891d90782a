import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, rmSync, truncateSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { storageFault } from '../../electron/library/libraryError.ts';
import { drawPng } from '../host/drawPng.ts';
import { testFolder } from '../host/folder.ts';
import { LAYOUT, plainScan, REFERENCE, soundSheet } from '../host/smallSheet.ts';
import { closeLibrary, inParts, newFolder, openLibrary } from './smallLibrary.ts';

const folder = testFolder();
const filesIn = (place: string) =>
  readdirSync(place, { recursive: true, withFileTypes: true }).filter((f) => f.isFile());

test('a scan is kept under its SHA-256 with the name that it had, byte for byte', async () => {
  const library = openLibrary();
  const bytes = plainScan(300);
  const hash = createHash('sha256').update(bytes).digest('hex');
  const added = await library.addFile(inParts(bytes), 'evening/Curlew white.png');
  expect(added).toMatchObject({
    hash,
    name: 'Curlew white.png',
    kind: 'scan',
    bytes: bytes.length,
    problem: null,
    already: null,
  });
  expect(added.path).toBe(join(library.folder, 'scans', hash.slice(0, 2), `${hash}.png`));
  expect(readFileSync(added.path).equals(bytes)).toBe(true);
  expect(added.info).toMatchObject({ file: added.path, widthPx: 400, heightPx: 300, dpi: 300 });
  expect(library.file(hash)?.info).toEqual(added.info);
  expect(library.fileProblem(hash)).toBeNull();
});

test('the same bytes are stored once, whatever they are called, and it is said where they are', async () => {
  const library = openLibrary();
  const bytes = plainScan(300);
  const first = await library.addFile(inParts(bytes), 'white.png');
  const ink = library.createInk({ name: 'Curlew Midnight', maker: null });
  library.edit(ink, { edit: 'addScans', scans: [{ id: 'white', hash: first.hash, name: first.name }] });
  const [second, third] = await Promise.all([
    library.addFile(inParts(bytes), 'other.png'),
    library.addFileFrom(folder.put('third.png', bytes)),
  ]);
  expect(second).toMatchObject({
    hash: first.hash,
    name: 'other.png',
    already: 'already here as “white.png” of “Curlew Midnight”',
  });
  expect(third).toMatchObject({ hash: first.hash, name: 'third.png' });
  expect(filesIn(join(library.folder, 'scans'))).toHaveLength(1);
  expect(filesIn(join(library.folder, 'incoming'))).toHaveLength(0);
});

test('two uploads of the same new bytes at once make one file', async () => {
  const library = openLibrary();
  const bytes = plainScan(300);
  const added = await Promise.all(['a.png', 'b.png', 'c.png'].map((name) => library.addFile(inParts(bytes), name)));
  expect(new Set(added.map(({ hash }) => hash)).size).toBe(1);
  expect(filesIn(join(library.folder, 'scans'))).toHaveLength(1);
});

describe('content says what a file is, not its name', () => {
  test.each([
    ['a scan', plainScan(300), 'scan'],
    ['a sheet', Buffer.from(JSON.stringify(soundSheet())), 'sheet'],
    ['a layout', Buffer.from(JSON.stringify(LAYOUT)), 'layout'],
    ['a reference', Buffer.from(REFERENCE), 'reference'],
    ['a reference in UTF-16', Buffer.from(`\uFEFF${REFERENCE}`, 'utf16le'), 'reference'],
    ['a reference in UTF-16 without its mark', Buffer.from(REFERENCE, 'utf16le'), 'reference'],
  ])('%s', async (_, bytes, kind) => {
    const library = openLibrary();
    const { hash } = await library.addFile(inParts(bytes), 'file.dat');
    closeLibrary(library);
    const again = openLibrary(library.folder);
    expect(again.file(hash)).toMatchObject({ kind, name: 'file.dat', problem: null });
  });
});

describe('what is no use is kept out, with one line that names the file as the person does', () => {
  const grey = drawPng({ widthPx: 10, heightPx: 10, colourType: 0, samples: new Uint8Array(100) });
  const layoutOfNothing = JSON.stringify({ ...LAYOUT, patches: [] });
  test.each([
    ['a grey image', grey, 'scan', /grey image; expected red, green and blue/],
    ['a scan cut short', plainScan(300).subarray(0, 300), 'scan', /cut short, damaged/],
    ['an empty file', Buffer.alloc(0), 'other', /an empty file/],
    ['a text', Buffer.from('Remember the milk'), 'other', /neither a scan nor a sheet/],
    [
      'other JSON',
      Buffer.from('{"format": "somebody-else/2"}'),
      'other',
      /JSON of format "somebody-else\/2"; expected a sheet/,
    ],
    [
      'JSON of a long format',
      Buffer.from(`{"format": "${'x'.repeat(5000)}"}`),
      'other',
      /JSON of format "x{80}"; expected/,
    ],
    ['broken JSON', Buffer.from('{"a": }'), 'other', /line 1, column 7/],
    ['a spoilt layout', Buffer.from(layoutOfNothing), 'layout', /patches: .*expected at least 1/],
    ['a reference cut short', Buffer.from(REFERENCE.slice(0, -10)), 'reference', /END_DATA|NUMBER_OF_SETS/],
  ])('%s', async (_, bytes, kind, line) => {
    const library = openLibrary();
    const added = await library.addFile(inParts(bytes), 'C:\\scans\\mine.png');
    expect(added).toMatchObject({ kind, name: 'mine.png' });
    expect(added.problem).toMatch(line);
    expect(added.problem).toMatch(/^mine\.png: [^\n]*$/);
    expect(added.problem).not.toContain(library.folder);
    expect(library.file(added.hash)?.problem).toBe(added.problem);
    expect(library.fileProblem(added.hash)).toBe(added.problem);
    expect(filesIn(library.folder).filter((f) => f.parentPath !== library.folder)).toHaveLength(0);
  });
});

test('a stored file that went or changed is told, and goes back to its place when it comes again', async () => {
  const library = openLibrary();
  const bytes = plainScan(300);
  const { hash, path } = await library.addFile(inParts(bytes), 'white.png');
  truncateSync(path, 100);
  expect(library.fileProblem(hash)).toMatch(
    /^white\.png: its file in the library has 100 bytes; expected the \d+ bytes/,
  );
  rmSync(path);
  expect(library.fileProblem(hash)).toMatch(
    /^white\.png: its file is gone from the library; .* Bring the same file in again/,
  );
  expect(() => library.text(hash)).toThrow(/is gone from the library/);
  const back = await library.addFile(inParts(bytes), 'white.png');
  expect(back.already).toMatch(/back in its place/);
  expect(library.fileProblem(hash)).toBeNull();
  expect(library.fileProblem('0'.repeat(64))).toMatch(/^no file with the content 0{12}… is in the library/);
});

test('layouts and references are known, newest first, and read as text', async () => {
  let now = Date.UTC(2026, 0, 1);
  const library = openLibrary(newFolder(), () => now);
  const layout = await library.addFile(inParts(Buffer.from(JSON.stringify(LAYOUT))), 'card.json');
  now += 1000;
  const other = await library.addFile(inParts(Buffer.from(JSON.stringify({ ...LAYOUT, name: 'other' }))), 'other.json');
  const reference = await library.addFile(inParts(Buffer.from(`\uFEFF${REFERENCE}`, 'utf16le')), 'card.txt');
  expect(library.targetFiles()).toEqual({
    layouts: [
      { hash: other.hash, name: 'other.json', title: 'other' },
      { hash: layout.hash, name: 'card.json', title: LAYOUT.name },
    ],
    references: [{ hash: reference.hash, name: 'card.txt', patches: 4 }],
  });
  expect(library.text(reference.hash)).toBe(REFERENCE);
  expect(library.layout(layout.hash)?.name).toBe(LAYOUT.name);
  expect(library.layout(reference.hash)).toBeNull();
});

test('a message about the store’s files names them as the person does', async () => {
  const library = openLibrary(join(newFolder(), 'my inks (2)'));
  const { path } = await library.addFile(inParts(plainScan(300)), 'white page.png');
  expect(library.named(`${path}: no such file; look at ${path}.`)).toBe(
    'white page.png: no such file; look at white page.png.',
  );
});

test('a stream that breaks off leaves nothing behind', async () => {
  const library = openLibrary();
  async function* broken(): AsyncGenerator<Uint8Array> {
    yield plainScan(300).subarray(0, 500);
    throw new Error('the connection went');
  }
  await expect(library.addFile(broken(), 'white.png')).rejects.toThrow('the connection went');
  expect(filesIn(join(library.folder, 'incoming'))).toHaveLength(0);
});

test.each([
  ['ENOSPC', 'disk-full'],
  ['EROFS', 'library-denied'],
  ['ENOTDIR', 'library-no-folder'],
])('%s is one clear line', (code, expected) => {
  const fault = storageFault(Object.assign(new Error('raw'), { code }), 'white.png into the library');
  expect(fault).toMatchObject({
    code: expected,
    message: expect.stringMatching(/^white\.png into the library: [^\n]+; expected [^\n]+\.$/),
  });
});

test('a path that is no file is refused by its name', async () => {
  const library = openLibrary();
  await expect(library.addFileFrom(join(folder.path, 'nowhere.tif'))).rejects.toMatchObject({ code: 'file-missing' });
  await expect(library.addFileFrom(folder.path)).rejects.toThrow(/no ordinary file/);
});
