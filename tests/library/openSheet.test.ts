import { createHash } from 'node:crypto';
import { copyFileSync, existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Library } from '../../electron/library/library.ts';
import { loadedSheet } from '../../electron/library/loadedSheet.ts';
import { openSheet, openSheetFiles } from '../../electron/library/openSheet.ts';
import { sheetText } from '../../electron/sheet/sheetText.ts';
import { sheetOf } from '../../electron/library/sheetOf.ts';
import { measureWith } from '../../electron/jobs/measureSheet.ts';
import { WorkerPool } from '../../electron/jobs/pool.ts';
import { RememberingRunner, type ResultStore } from '../../electron/jobs/rememberingRunner.ts';
import type { Task } from '../../electron/jobs/tasks.ts';
import type { LoadedSheet } from '../../electron/sheet/loadedSheet.ts';
import { loadSheet, parseSheet } from '../../electron/sheet/sheet.ts';
import { testFolder } from '../host/folder.ts';
import { LAYOUT, plainScan, REFERENCE, soundSheet } from '../host/smallSheet.ts';
import { inParts, newFolder, openLibrary, sheetFolder, smallLibrary } from './smallLibrary.ts';

const folder = testFolder();

/** Writes an ink's sheet and its files into a folder, as a zip would unpack. */
function unpack(library: Library, ink: number): string {
  const place = newFolder();
  const { sheet, files } = sheetOf(library, ink);
  writeFileSync(join(place, 'sheet.json'), sheetText(sheet));
  for (const { name, path } of files) copyFileSync(path, join(place, name));
  return place;
}

const upload = async (library: Library, name: string, bytes: Uint8Array | string) => {
  const { hash } = await library.addFile(inParts(Buffer.from(bytes)), name);
  return { name, hash };
};
const smallUploads = async (library: Library, prefix = '', sheet: object = soundSheet()) => [
  await upload(library, `${prefix}white.png`, plainScan(254)),
  await upload(library, `${prefix}strip.png`, plainScan(300)),
  await upload(library, `${prefix}target.png`, plainScan(200)),
  await upload(library, `${prefix}sheet.json`, JSON.stringify(sheet)),
  await upload(library, `${prefix}layout.json`, JSON.stringify(LAYOUT)),
  await upload(library, `${prefix}reference.txt`, REFERENCE),
];

test('a sheet becomes an ink; a target’s scan that it does not list becomes a scan', async () => {
  const { library, ink } = await smallLibrary(folder);
  const { scans, regions, target } = library.document(ink);
  expect(library.inks()).toMatchObject([{ name: 'Harbour Night', maker: 'Quill & Tide', invented: false }]);
  expect(scans.map(({ id, name, paper }) => [id, name, paper])).toEqual([
    ['white', 'white.png', 'bright white 90 g/m²'],
    ['strip', 'strip.png', undefined],
    ['target', 'target.png', undefined],
  ]);
  expect(target?.scan).toBe('target');
  expect(regions).toEqual(soundSheet().regions);
  expect(library.papers()).toEqual([{ name: 'bright white 90 g/m²', lab: null }]);
  expect(library.nibs()).toEqual([{ name: 'EF', widthMm: 0.35 }]);
  const strokes = regions.find((region) => region.kind === 'strokes')!;
  library.edit(ink, { edit: 'changeRegion', id: strokes.id, region: { ...strokes, nibWidthMm: 0.42 } });
  expect(library.nibs()).toEqual([{ name: 'EF', widthMm: 0.42 }]);
});

test('the sample measures the same after it went through a library', async () => {
  const library = openLibrary();
  const { ink, problems } = await openSheet(library, 'sample-scans', { invented: true });
  expect(problems).toEqual([]);
  expect(library.inks()).toMatchObject([{ name: 'Curlew Midnight', invented: true }]);
  expect(library.nibs()).toEqual(['B', 'EF', 'M'].map((name) => ({ name, widthMm: null })));
  const chosen = ['bare-white', 'ef-white'];
  const few = <T extends { regions: readonly { id: string }[] }>(loaded: T): T => ({
    ...loaded,
    regions: loaded.regions.filter(({ id }) => chosen.includes(id)),
  });
  // A task is told by all that its result depends on, files by their bytes: where every one is known already, the same would be measured.
  const known = new Map<string, Uint8Array>();
  const store: ResultStore = {
    recall: (key) => known.get(key) ?? null,
    remember: (key, _, bytes) => void known.set(key, bytes),
  };
  const pool = new WorkerPool();
  const measured = async (sheet: LoadedSheet) => {
    const steps = { anew: 0, known: 0 };
    const hashOf = (path: string) => createHash('sha256').update(readFileSync(path)).digest('hex');
    const onResult = (_task: Task, _key: string, kept: boolean) => void steps[kept ? 'known' : 'anew']++;
    const outcome = await measureWith(new RememberingRunner(pool, store, { hashOf, onResult }), few(sheet), {});
    return { outcome, steps };
  };
  try {
    const direct = await measured(await loadSheet('sample-scans'));
    expect(direct.steps.anew).toBeGreaterThanOrEqual(chosen.length + 2);
    expect(direct.outcome.findings.length).toBeGreaterThan(8);
    const same = { outcome: direct.outcome, steps: { anew: 0, known: direct.steps.anew } };
    expect(await measured(loadedSheet(library, ink))).toEqual(same);
    expect(await measured(await loadSheet(unpack(library, ink)))).toEqual(same);
  } finally {
    await pool.close();
  }
}, 240_000);

test('what goes out comes in again as the same work', async () => {
  const { library, ink } = await smallLibrary(folder);
  // A name that was pasted from where its last letter had been lost.
  const paper = 'Caf\uFFFD';
  library.edit(ink, { edit: 'changeScan', id: 'strip', change: { side: 'back', of: 'white', dpi: 300, paper } });
  const { target } = library.document(ink);
  if (!target) throw new Error('no target');
  const pointsMm = LAYOUT.pointsMm.map(([x, y]) => [x + 1, y + 1] as const);
  library.edit(ink, {
    edit: 'setTarget',
    serves: 'white',
    target: { ...target, pointsMm: [pointsMm[0], pointsMm[1], pointsMm[2], pointsMm[3]] },
  });
  const again = await openSheet(library, unpack(library, ink));
  expect(again.problems).toEqual([]);
  expect(library.document(again.ink)).toEqual(library.document(ink));
});

test('names that meet are told apart, and one file is not written twice', async () => {
  const { library, ink } = await smallLibrary(folder);
  const other = await upload(library, 'WHITE.png', plainScan(300));
  const called = await upload(library, 'sheet.json', plainScan(600));
  const first = library.document(ink).scans[0];
  library.edit(ink, {
    edit: 'addScans',
    scans: [
      { id: 'w2', ...other },
      { id: 'w3', ...called },
      { id: 'again', hash: first.hash, name: 'copy.png' },
    ],
  });
  const { sheet, files } = sheetOf(library, ink);
  expect(sheet.scans.map(({ id, file }) => [id, file])).toEqual([
    ['white', 'white.png'],
    ['strip', 'strip.png'],
    ['target', 'target.png'],
    ['w2', 'WHITE-2.png'],
    ['w3', 'sheet-2.json'],
    ['again', 'white.png'],
  ]);
  const names = files.map(({ name }) => name);
  expect(new Set(names).size).toBe(names.length);
  expect(files.every(({ path }) => existsSync(path))).toBe(true);
  expect(parseSheet(JSON.stringify(sheet), 'sheet.json')).toEqual(sheet);
});

describe('uploads are matched with what the sheet says', () => {
  test.each([[''], ['evening/curlew/'], ['evening\\curlew\\']])('in folders as they came: %j', async (prefix) => {
    const library = openLibrary();
    const { ink, problems } = await openSheetFiles(library, await smallUploads(library, prefix));
    expect(problems).toEqual([]);
    expect(library.document(ink).scans.map(({ name }) => name)).toEqual(['white.png', 'strip.png', 'target.png']);
  });

  test('by bare names when the sheet speaks of folders', async () => {
    const library = openLibrary();
    const sheet = soundSheet();
    sheet.scans[0].file = 'scans/White.PNG';
    const { ink, problems } = await openSheetFiles(library, await smallUploads(library, '', sheet));
    expect(problems).toEqual([]);
    expect(library.document(ink).scans[0].name).toBe('White.PNG');
  });

  test('by a name with an umlaut that a Mac sends as two letters', async () => {
    const library = openLibrary();
    const sheet = soundSheet();
    sheet.scans[0].file = 'Gr\u00FCn.png';
    const uploads = await smallUploads(library, '', sheet);
    const sent = uploads.map((file) => (file.name === 'white.png' ? { ...file, name: 'Gru\u0308n.png' } : file));
    expect((await openSheetFiles(library, sent)).problems).toEqual([]);
  });

  test('two of one name are told apart by their folders, or told', async () => {
    const library = openLibrary();
    const uploads = await smallUploads(library, 'a/');
    const other = await upload(library, 'b/white.png', plainScan(600));
    const { ink } = await openSheetFiles(library, [other, ...uploads]);
    expect(library.document(ink).scans[0].hash).toBe(uploads[0].hash);
    const sheet = soundSheet();
    sheet.scans[0].file = 'c/white.png';
    const moved = [
      ...uploads.filter(({ name }) => name !== 'a/sheet.json'),
      await upload(library, 'sheet.json', JSON.stringify(sheet)),
      other,
    ];
    const { problems } = await openSheetFiles(library, moved);
    expect(problems).toEqual([
      'scan “white”: 2 files are called c/white.png; expected it beside the sheet. Bring in the whole folder.',
    ]);
  });
});

test('a missing or spoilt file takes only what rests on it', async () => {
  const library = openLibrary();
  const uploads = (await smallUploads(library)).filter(({ name }) => name !== 'strip.png' && name !== 'layout.json');
  const { ink, problems } = await openSheetFiles(library, uploads);
  expect(problems).toEqual([
    'scan “strip”: strip.png did not come with the sheet; expected it beside the sheet. Bring in the whole folder.',
    'target: layout.json did not come with the sheet; expected it beside the sheet. Bring in the whole folder.',
  ]);
  const document = library.document(ink);
  expect(document).not.toHaveProperty('target');
  expect(document.regions.map(({ id }) => id)).toEqual(['bare', 'ef']);

  const place = sheetFolder(folder);
  folder.put('strip.png', plainScan(254).subarray(0, 400));
  const spoilt = await openSheet(library, place);
  expect(spoilt.problems).toEqual([expect.stringMatching(/^scan “strip”: strip\.png: .*cut short/)]);
  expect(library.document(spoilt.ink).target?.scan).toBe('target');
});

test('a scan that is called all gets another name, and its regions with it', async () => {
  const library = openLibrary();
  const place = sheetFolder(folder, (sheet) => {
    sheet.scans[0].id = 'all';
    for (const region of sheet.regions) if (region.scan === 'white') region.scan = 'all';
  });
  const { ink } = await openSheet(library, place);
  const { scans, regions } = library.document(ink);
  expect(scans[0].id).toBe('all-2');
  expect(regions[0].scan).toBe('all-2');
});

describe('refused in one line', () => {
  test.each([
    ['no sheet', 'no-sheet', /^no sheet among the 1 files/, ['white.png']],
    [
      'a sheet alone',
      'sheet-files-missing',
      /^sheet\.json: none of its scans can be used \(scan “white”: white\.png did not come/,
      ['sheet.json'],
    ],
  ])('%s', async (_, code, line, names) => {
    const library = openLibrary();
    const uploads = (await smallUploads(library)).filter(({ name }) => names.includes(name));
    await expect(openSheetFiles(library, uploads)).rejects.toMatchObject({
      code,
      message: expect.stringMatching(line),
    });
    expect(library.inks()).toEqual([]);
  });

  test('two sheets at once', async () => {
    const library = openLibrary();
    const uploads = await smallUploads(library);
    const other = await upload(library, 'other.json', JSON.stringify({ ...soundSheet(), bench: {} }));
    await expect(openSheetFiles(library, [...uploads, other])).rejects.toMatchObject({ code: 'two-sheets' });
  });

  test('a sheet with a fault', async () => {
    const place = sheetFolder(folder, (sheet) => (sheet.regions[0].scan = 'whit'));
    await expect(openSheet(openLibrary(), place)).rejects.toMatchObject({
      code: 'sheet-invalid',
      message: expect.stringMatching(/^sheet\.json: .*no scan "whit"; .*did you mean "white"/),
    });
  });
});

describe('as the jobs take it', () => {
  test('files by their places, words by their names', async () => {
    const { library, ink } = await smallLibrary(folder);
    const loaded = loadedSheet(library, ink);
    expect(loaded).toMatchObject({ file: 'Harbour Night', problems: [], targetProblems: [], warnings: [] });
    const white = loaded.scans.get('white');
    expect(white).toMatchObject({ dpi: 254, paper: 'bright white 90 g/m²', side: 'front', of: null });
    expect(white?.file).toBe(library.file(library.document(ink).scans[0].hash)?.path);
    expect(loaded.regions.map(({ id, paper }) => [id, paper])).toEqual([
      ['bare', 'bright white 90 g/m²'],
      ['ef', 'bright white 90 g/m²'],
      ['run', null],
    ]);
    expect(loaded.targets.get('white')).toBe(loaded.target);
    expect(loaded.targets.get('strip')).toBe(loaded.target);
    expect(loaded.target?.layout.patches).toHaveLength(4);
  });

  test('a scan whose file is gone takes its regions with it, in words without the store', async () => {
    const { library, ink } = await smallLibrary(folder);
    const file = library.file(library.document(ink).scans[0].hash);
    if (!file) throw new Error('no file');
    rmSync(file.path);
    const loaded = loadedSheet(library, ink);
    const line =
      /^scan “white”: white\.png: its file is gone from the library; expected the \d+ bytes that came in\. Bring/;
    expect(loaded.problems).toEqual([
      { region: 'bare', message: expect.stringMatching(line) },
      { region: 'ef', message: expect.stringMatching(line) },
    ]);
    expect(JSON.stringify([loaded.problems, loaded.warnings, loaded.targetProblems])).not.toContain(library.folder);
  });

  test('a target whose file is gone is a problem of all that it serves', async () => {
    const { library, ink } = await smallLibrary(folder);
    const { target } = library.document(ink);
    const layout = library.file(target?.layout ?? '');
    if (!layout) throw new Error('no layout');
    rmSync(layout.path);
    const { targetProblems, problems, target: own } = loadedSheet(library, ink);
    expect(own).toBeNull();
    expect(targetProblems).toEqual([expect.stringMatching(/^target: layout\.json: its file is gone from the library/)]);
    expect(problems.map(({ region }) => region)).toEqual(['bare', 'ef', 'run']);
  });

  test('a scan that says a screen’s resolution is told so, in the list of scans and where regions are drawn', async () => {
    const place = sheetFolder(folder);
    folder.put('white.png', plainScan(96));
    const library = openLibrary();
    const { ink } = await openSheet(library, place);
    const words =
      'white.png says 96 dpi, as programs write that know none, and none was given; lengths in mm need one.';
    expect(loadedSheet(library, ink).problems[0].message).toContain(words);
    expect(() =>
      library.edit(ink, {
        edit: 'addRegion',
        region: { id: 'more', scan: 'white', kind: 'swab', boxMm: [1, 1, 2, 2] },
      }),
    ).toThrow(words);
  });

  test('a scan without a resolution, and boxes that a new one pushes off the scan', async () => {
    const place = sheetFolder(folder);
    folder.put('white.png', plainScan(0));
    const library = openLibrary();
    const { ink } = await openSheet(library, place);
    expect(loadedSheet(library, ink).problems[0].message).toMatch(
      /^scan “white”: white\.png carries no resolution and none was given/,
    );
    library.edit(ink, { edit: 'changeScan', id: 'white', change: { dpi: 254 } });
    expect(loadedSheet(library, ink).problems).toEqual([]);
    library.edit(ink, { edit: 'changeScan', id: 'white', change: { dpi: 600 } });
    expect(loadedSheet(library, ink).problems).toEqual([
      { region: 'ef', message: expect.stringMatching(/but scan "white" is 16\.9 × 12\.7 mm at 600 dpi/) },
    ]);
  });

  test('a scan’s own target, and an ink without any', async () => {
    const { library, ink } = await smallLibrary(folder);
    const { target } = library.document(ink);
    library.edit(ink, { edit: 'setTarget', serves: 'all', target: null });
    library.edit(ink, { edit: 'setTarget', serves: 'strip', target: target ?? null });
    const loaded = loadedSheet(library, ink);
    expect(loaded.target).toBeNull();
    expect(loaded.targets.get('white')).toBeNull();
    expect(loaded.targets.get('strip')?.scanFile).toBe(loaded.scans.get('target')?.file);
    mkdirSync(join(library.folder, 'out'));
    expect(sheetOf(library, ink).sheet.scans[1].target).toEqual({
      scan: 'target',
      layout: 'layout.json',
      reference: 'reference.txt',
    });
  });
});
