import { expect, test } from 'vitest';
import { changeLine, endedOf, isWorthReading, startLine } from '../../renderer/bring/broughtLine.ts';
import { filesNamedBy, mayBeSheet, sortBrought } from '../../renderer/bring/sortBrought.ts';
import { filesOf } from '../../renderer/bring/walkDropped.ts';

const SHEET = JSON.stringify({
  format: 'wetline-sheet/1',
  target: { scan: 'target.tif', layout: '../targets/layout.json', reference: './reference.txt' },
  scans: [
    { id: 'white', file: 'white.tif', target: { layout: 'own.json', reference: 'own.txt' } },
    { id: 'back', file: 'backs\\white.tif' },
  ],
});
const file = (name: string, bytes = 1000) => ({ name, bytes });
const names = (files: readonly { readonly name: string }[]) => files.map(({ name }) => name);

test('a folder with a sheet: the sheet and what it names, the rest is left alone', () => {
  const files = [
    'curlew/.DS_Store',
    'curlew/notes.md',
    'curlew/old.tif',
    'curlew/white.tif',
    'curlew/backs/white.tif',
    'curlew/sheet.json',
    'curlew/target.tif',
    'curlew/reference.txt',
    'curlew/own.json',
    'curlew/own.txt',
    'targets/layout.json',
  ].map((name) => file(name));
  const sorted = sortBrought(files, new Map([['curlew/sheet.json', SHEET]]));
  expect(sorted.sheets.map(names)).toEqual([
    [
      'curlew/sheet.json',
      'curlew/white.tif',
      'curlew/backs/white.tif',
      'curlew/target.tif',
      'curlew/reference.txt',
      'curlew/own.json',
      'curlew/own.txt',
      'targets/layout.json',
    ],
  ]);
  expect(sorted.leftAlone).toEqual(['curlew/notes.md', 'curlew/old.tif']);
  expect(sorted.loose).toEqual([]);
  expect(sorted.refused).toEqual([]);
});

test('two sheets in two folders take their own files', () => {
  const files = ['a/sheet.json', 'a/white.tif', 'b/sheet.json', 'b/white.tif'].map((name) => file(name));
  const sorted = sortBrought(
    files,
    new Map([
      ['a/sheet.json', SHEET],
      ['b/sheet.json', SHEET],
    ]),
  );
  expect(sorted.sheets.map(names)).toEqual([
    ['a/sheet.json', 'a/white.tif'],
    ['b/sheet.json', 'b/white.tif'],
  ]);
});

test('loose files: scans and texts go on, foreign and empty ones say what to do', () => {
  const files = [
    file('a.TIF'),
    file('b.jpeg'),
    file('layout.json'),
    file('ref.txt'),
    file('c.pdf'),
    file('d.heic'),
    file('e.png', 0),
    file('scan0001'),
    file('f.svg'),
    file('g.jfif'),
  ];
  const sorted = sortBrought(files, new Map([['layout.json', '{"format":"wetline-target/1"}']]));
  expect(names(sorted.loose)).toEqual(['a.TIF', 'b.jpeg', 'layout.json', 'ref.txt', 'scan0001', 'g.jfif']);
  expect(names(sorted.refused)).toEqual(['c.pdf', 'd.heic', 'e.png', 'f.svg']);
  for (const { words } of sorted.refused) expect(words).toMatch(/expected a scan.*\. [A-Z].*\.$/);
  expect(sorted.refused[0].words).toContain('is a PDF file');
  expect(sorted.refused[2].words).toContain('is empty');
  expect(sorted.refused[3].words).toContain('is an SVG file');
});

test('a folder without a sheet: its scans come, what is foreign is left alone', () => {
  const sorted = sortBrought([file('page/a.tif'), file('page/notes.docx'), file('page/Thumbs.db')], new Map());
  expect(names(sorted.loose)).toEqual(['page/a.tif']);
  expect(sorted.leftAlone).toEqual(['page/notes.docx']);
});

test('scans beside a sheet that was dropped with them, not named by it, still come', () => {
  const sorted = sortBrought(
    [file('sheet.json'), file('white.tif'), file('other.tif')],
    new Map([['sheet.json', SHEET]]),
  );
  expect(sorted.sheets.map(names)).toEqual([['sheet.json', 'white.tif']]);
  expect(names(sorted.loose)).toEqual(['other.tif']);
});

test('a sheet that is no JSON goes alone, so that the library says what is wrong', () => {
  const broken = SHEET.slice(0, -4);
  expect(filesNamedBy(broken)).toEqual([]);
  const sorted = sortBrought([file('s/sheet.json'), file('s/white.tif')], new Map([['s/sheet.json', broken]]));
  expect(sorted.sheets.map(names)).toEqual([['s/sheet.json']]);
});

test.each(['[]', 'null', '3', '{"scans":3}', '{"scans":[null,3,{"file":4}],"target":"x"}'])(
  'a sheet of odd shape names no file: %s',
  (text) => {
    expect(filesNamedBy(text)).toEqual([]);
  },
);

test('only small JSON is looked into', () => {
  expect(mayBeSheet(file('sheet.JSON'))).toBe(true);
  expect(mayBeSheet(file('sheet.json', 50_000_000))).toBe(false);
  expect(mayBeSheet(file('sheet.json', 0))).toBe(false);
  expect(mayBeSheet(file('white.tif'))).toBe(false);
});

test('progress that comes late does not wake a line that has ended', () => {
  const sending = changeLine(startLine('a.tif'), { state: 'sending', part: 0.2 });
  const cancelled = changeLine(sending, { state: 'cancelled', words: 'cancelled' });
  expect(changeLine(cancelled, { part: 0.9 })).toBe(cancelled);
  expect(changeLine(cancelled, { state: 'sending' })).toBe(cancelled);
  expect(changeLine(sending, { part: 0.9 }).part).toBe(0.9);
});

test('only what went wrong, or tells what to do next, stays in the tray', () => {
  const line = startLine('a.tif');
  expect(isWorthReading({ ...line, state: 'kept', words: 'already here' })).toBe(false);
  expect(isWorthReading({ ...line, state: 'kept', stays: true })).toBe(true);
  expect(isWorthReading({ ...line, state: 'refused' })).toBe(true);
  expect(isWorthReading({ ...line, state: 'failed' })).toBe(true);
  expect(isWorthReading({ ...line, state: 'cancelled' })).toBe(false);
  expect(endedOf([line, { ...line, state: 'kept' }, { ...line, state: 'failed' }])).toEqual({ done: 2, total: 3 });
});

test('of a dropped folder a file that cannot be read is named, and the others come', async () => {
  type Give = (file: File) => void;
  const entry = (name: string, file: File | null) => ({
    isFile: true,
    fullPath: `/p/${name}`,
    file: (resolve: Give, reject: () => void) => (file ? resolve(file) : reject()),
  });
  const entries = [entry('1.tif', new File(['II*'], '1.tif')), entry('2.tif', null)];
  const readEntries = (give: (some: object[]) => void): void => give(entries.splice(0));
  const folder = { isDirectory: true, fullPath: '/p', createReader: () => ({ readEntries }) };
  const transfer: DataTransfer = Object({ items: [{ kind: 'file', webkitGetAsEntry: () => folder }], files: [] });
  const brought = await filesOf(transfer);
  expect(brought.map(({ name, file }) => [name, file?.name ?? null])).toEqual([
    ['p/1.tif', '1.tif'],
    ['p/2.tif', null],
  ]);
});
