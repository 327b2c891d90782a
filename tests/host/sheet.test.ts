import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { loadSheet, parseSheet } from '../../electron/sheet/sheet.ts';
import { drawPng } from './drawPng.ts';
import { testFolder } from './folder.ts';
import { BUILT_IN_LAYOUTS } from '../../electron/sheet/builtIn.ts';
import { LAYOUT, plainScan, putFiles, REFERENCE, soundSheet } from './smallSheet.ts';

const folder = testFolder();
beforeEach(() => putFiles(folder));

const ALPHA = {
  widthPx: 400,
  heightPx: 300,
  samples: new Uint8Array(4 * 400 * 300),
  pixelsPerMetre: [10_000, 10_000],
} as const;

type Sound = ReturnType<typeof soundSheet>;

function put(change: (sheet: Sound) => unknown = () => undefined, name = 'sheet.json'): string {
  const sheet = soundSheet();
  change(sheet);
  return folder.put(name, JSON.stringify(sheet));
}

test('a sound sheet comes with its files found, its papers and its target', async () => {
  const loaded = await loadSheet(put());
  expect(loaded).toMatchObject({ problems: [], targetProblems: [], warnings: [] });
  expect(loaded.scans.get('white')).toMatchObject({
    file: join(folder.path, 'white.png'),
    dpi: 254,
    paper: 'bright white 90 g/m²',
    side: 'front',
    of: null,
  });
  expect(loaded.regions.map(({ id, paper }) => [id, paper])).toEqual([
    ['bare', 'bright white 90 g/m²'],
    ['ef', 'bright white 90 g/m²'],
    ['run', null],
  ]);
  expect(loaded.target?.layout.patches).toHaveLength(4);
  expect([...(loaded.target?.reference.patches.get('A3')?.lab ?? [])]).toEqual([42.5, 55, 30.1]);
  expect(loaded.target?.pointsMm).toBeUndefined();
  expect(loaded.targets.get('white')).toBe(loaded.target);
  expect(loaded.targets.get('strip')).toBe(loaded.target);
});

test('the whole contract is understood', () => {
  const sheet = parseSheet(
    JSON.stringify({
      format: 'wetline-sheet/1',
      ink: { name: 'Harbour Night', maker: 'Quill & Tide' },
      target: { scan: 't.tif', layout: 'l.json', reference: 'r.txt', pointsMm: LAYOUT.pointsMm },
      scans: [
        { id: 'white', file: 'w.tif', paper: 'white', side: 'front', dpi: 600 },
        {
          id: 'white-back',
          file: 'b.tif',
          side: 'back',
          of: 'white',
          target: { layout: 'l.json', reference: 'r.txt' },
        },
      ],
      regions: [
        { id: 'bare', scan: 'white', kind: 'paper', boxMm: [1, 2, 3, 4] },
        { id: 'ef', scan: 'white', kind: 'strokes', boxMm: [1, 2, 3, 4], nib: 'EF', nibWidthMm: 0.35, paper: 'yellow' },
        { id: 'swab', scan: 'white', kind: 'swab' },
        { id: 'bar', scan: 'white', kind: 'bar', boxMm: [1, 2, 3, 4] },
        {
          id: 'run',
          scan: 'white',
          kind: 'strip',
          boxMm: [1, 2, 3, 90],
          run: 'dried',
          originMm: 12,
          frontMm: 81.5,
          travel: 'up',
        },
        { id: 'before', scan: 'white', kind: 'hatch', agent: 'water', state: 'before' },
        { id: 'after', scan: 'white', kind: 'hatch', agent: 'water', state: 'after', of: 'before' },
        { id: 'hl', scan: 'white', kind: 'swipe', direction: 'right' },
        { id: 'back', scan: 'white-back', kind: 'reverse', of: 'ef' },
      ],
      bench: {
        drying: [{ paper: 'white', nib: 'EF', seconds: [14, 15, 16] }],
        flow: [{ temperatureC: 21.5, effluxS: 48.2, waterEffluxS: 39.9, densityGPerMl: 1.01 }],
      },
    }),
    'sheet.json',
  );
  expect(sheet.regions).toHaveLength(9);
  expect(sheet.bench?.drying?.[0]?.seconds).toEqual([14, 15, 16]);
});

describe('where the sheet is', () => {
  test('a folder stands for the sheet.json in it', async () => {
    put();
    expect((await loadSheet(folder.path)).file).toBe(join(folder.path, 'sheet.json'));
  });
  test('a folder without one, and a missing file', async () => {
    mkdirSync(join(folder.path, 'empty'), { recursive: true });
    await expect(loadSheet(join(folder.path, 'empty'))).rejects.toMatchObject({ code: 'sheet-missing' });
    await expect(loadSheet(join(folder.path, 'gone.json'))).rejects.toThrow(
      /gone\.json: no such file; expected a sheet/,
    );
    put();
    await expect(loadSheet(join(folder.path, 'shet.json'))).rejects.toThrow(/Its folder holds "sheet\.json"\.$/);
  });
});

describe('a file that cannot be used takes only its own regions with it', () => {
  test.each<[string, (s: Sound) => unknown, string]>([
    ['missing', (s) => (s.scans[1].file = 'gone.png'), 'gone.png: no such file'],
    ['nearly there', (s) => (s.scans[1].file = 'Strip.PNG'), 'Its folder holds "strip.png".'],
    ['no image', (s) => (s.scans[1].file = 'reference.txt'), 'no image that can be read'],
    ['no resolution', (s) => (s.scans[1].file = folder.put('nodpi.png', plainScan(0))), 'carries no resolution'],
    [
      'a screen’s resolution',
      (s) => (s.scans[1].file = folder.put('72.png', plainScan(72))),
      'says 72 dpi, as programs',
    ],
  ])('%s', async (_, change, words) => {
    const loaded = await loadSheet(put(change));
    expect(loaded.regions.map((r) => r.id)).toEqual(['bare', 'ef']);
    expect(loaded.problems).toHaveLength(1);
    expect(loaded.problems[0].region).toBe('run');
    expect(loaded.problems[0].message).toContain(words);
    expect([...loaded.scans.keys()]).toEqual(['white']);
  });

  test('a scan that no region lies on is only warned about', async () => {
    const loaded = await loadSheet(put((s) => (s.scans.push({ id: 'spare', file: 'gone.png' }), s)));
    expect(loaded.problems).toEqual([]);
    expect(loaded.warnings).toHaveLength(1);
    expect(loaded.warnings[0]).toContain('gone.png');
  });

  test.each<[number[], boolean]>([
    [[0, 0, 40, 30], true],
    [[-0.5, -0.5, 41, 31], true],
    [[0, 0, 40.6, 30], false],
    [[0, 0, 40, 30.6], false],
    [[-0.6, 0, 10, 10], false],
    [[0, -0.6, 10, 10], false],
    [[100, 100, 10, 10], false],
  ])('box %j on a scan of 40 × 30 mm', async (box, sound) => {
    const loaded = await loadSheet(put((s) => (s.regions[1].boxMm = box)));
    expect(loaded.problems.map((p) => p.region)).toEqual(sound ? [] : ['ef']);
    const message = loaded.problems[0]?.message ?? '';
    expect(message.includes(`[${box.join(', ')}]`) && message.includes('40 × 30 mm')).toBe(!sound);
  });

  test('a box off its scan is told in tenths, not in the digits of a sum', async () => {
    const { problems } = await loadSheet(put((s) => (s.regions[1].boxMm = [0.1 + 0.2 - 3, 0, 10, 10.0000000001])));
    expect(problems[0].message).toContain('boxMm [-2.7, 0, 10, 10] reaches');
  });

  test('origin or front beyond the strip', async () => {
    const beyond = await loadSheet(put((s) => (s.regions[2].originMm = 31)));
    expect(beyond.problems[0].message).toContain('originMm 31 lies beyond its box, which is 30 mm long');
    const same = await loadSheet(put((s) => (s.regions[2].originMm = 3)));
    expect(same.problems[0].message).toContain('both 3');
  });
});

async function travels(originMm: number, frontMm: number, travel?: string) {
  const loaded = await loadSheet(put((s) => Object.assign(s.regions[2], { originMm, frontMm, travel })));
  const [run] = loaded.regions.filter((r) => r.kind === 'strip');
  return [run?.travel, loaded.warnings.length];
}

test('the distances say which way the solvent went', async () => {
  expect(await travels(25, 3)).toEqual(['up', 0]);
  expect(await travels(3, 25)).toEqual(['down', 0]);
  expect(await travels(3, 25, 'down')).toEqual(['down', 0]);
  expect(await travels(3, 25, 'up')).toEqual(['down', 1]);
  // Across a box that is taller than wide, which is told as well.
  expect(await travels(3, 18, 'left')).toEqual(['right', 2]);
});

describe('resolution', () => {
  test('the sheet wins over the file, with a warning when they differ by more than 2 %', async () => {
    const near = await loadSheet(put((s) => Object.assign(s.scans[0], { dpi: 250 })));
    expect(near.scans.get('white')?.dpi).toBe(250);
    expect(near.warnings).toEqual([]);
    const far = await loadSheet(put((s) => Object.assign(s.scans[0], { dpi: 300 })));
    expect(far.warnings[0]).toContain('says 254 dpi, the sheet says 300');
    expect(far.problems.length).toBeGreaterThan(0); // the boxes no longer fit: 400 px are 34 mm at 300 dpi
  });
  test('a page a metre wide is doubted', async () => {
    folder.put('white.png', plainScan(9));
    const loaded = await loadSheet(put());
    expect(loaded.warnings[0]).toMatch(/would be 11\d\d mm long/);
  });
});

describe('targets', () => {
  test('none: the scans have none', async () => {
    const loaded = await loadSheet(put((s) => Reflect.deleteProperty(s, 'target')));
    expect(loaded).toMatchObject({ target: null, targetProblems: [], problems: [] });
    expect(loaded.targets.get('white')).toBeNull();
  });

  test('beside the samples: a scan of the sheet by its id, with the sheet’s dpi', async () => {
    const loaded = await loadSheet(put((s) => (Object.assign(s.scans[0], { dpi: 250 }), (s.target.scan = 'white'))));
    expect(loaded.target).toMatchObject({ scanFile: join(folder.path, 'white.png'), dpi: 250 });
  });

  test('beside the samples: a file that is one of the scans has that scan’s dpi', async () => {
    const loaded = await loadSheet(
      put((s) => (Object.assign(s.scans[0], { dpi: 250 }), (s.target.scan = 'white.png'))),
    );
    expect(loaded.target?.dpi).toBe(250);
  });

  test('what is special about its scan is said', async () => {
    folder.put('target.png', drawPng({ ...ALPHA, colourType: 6 }));
    expect((await loadSheet(put())).warnings).toEqual(['target: target.png: its fourth channel (alpha) is left out']);
  });

  test('a scan may have its own, in itself or elsewhere; equal ones are one', async () => {
    const files = { layout: 'layout.json', reference: 'reference.txt' };
    const loaded = await loadSheet(
      put((s) => {
        s.scans.push({ id: 'third', file: 'white.png' });
        Object.assign(s.scans[0], { target: files });
        Object.assign(s.scans[1], { target: { ...files, scan: 'target.png' } });
        Object.assign(s.scans[2], { target: { ...files, scan: 'white' } });
      }),
    );
    expect(loaded.targets.get('white')?.scanFile).toBe(join(folder.path, 'white.png'));
    expect(loaded.targets.get('strip')).toBe(loaded.target);
    expect(loaded.targets.get('third')).toBe(loaded.targets.get('white'));
  });

  test('layout and reference by their built-in names', async () => {
    const loaded = await loadSheet(
      put((s) => Object.assign(s.target, { layout: 'chart-4x6', reference: 'chart-4x6-published' })),
    );
    expect(loaded.target?.layout).toBe(BUILT_IN_LAYOUTS.get('chart-4x6'));
    expect([...(loaded.target?.reference.patches.get('24')?.lab ?? [])]).toEqual([20.64, 0.07, -0.46]);
  });

  test.each([
    ['a file', 'white-sheet.png', 254],
    ['a scan’s id, with its dpi', 'strip', 250],
  ])('the scan of a white sheet: %s', async (_, white, dpi) => {
    folder.put('white-sheet.png', plainScan(254));
    const loaded = await loadSheet(
      put((s) => (Object.assign(s.scans[1], { dpi: 250 }), Object.assign(s.target, { white }))),
    );
    expect(loaded.target?.white).toMatchObject({ dpi, info: { widthPx: 400 } });
    expect((await loadSheet(put())).target).not.toHaveProperty('white');
  });

  test('another white sheet is another target', async () => {
    const files = { scan: 'target.png', layout: 'layout.json', reference: 'reference.txt' };
    const loaded = await loadSheet(put((s) => Object.assign(s.scans[1], { target: { ...files, white: 'white' } })));
    expect(loaded.targets.get('strip')).not.toBe(loaded.target);
    expect(loaded.targets.get('strip')?.white?.dpi).toBe(254);
  });

  test('a calibration needs no scans and no regions', async () => {
    const { format, target } = soundSheet();
    const loaded = await loadSheet(folder.put('calibrate.json', JSON.stringify({ format, target })));
    expect(loaded.target?.dpi).toBe(254);
    expect(loaded.regions).toEqual([]);
  });

  const short = REFERENCE.replace(/^A[234].*\n/gm, '').replace('SETS 4', 'SETS 1');
  test.each<[string, (s: Sound) => unknown, string]>([
    ['no scan', (s) => (s.target.scan = 'gone.png'), 'gone.png: no such file'],
    ['nearly a file', (s) => (s.target.scan = 'taget.png'), 'Its folder holds "target.png".'],
    ['nearly a layout', (s) => (s.target.layout = 'Layout.jsn'), 'Its folder holds "layout.json".'],
    ['nearly a scan’s id', (s) => (s.target.scan = 'whit'), 'did you mean "white"?'],
    ['a scan that is no image', (s) => (s.target.scan = 'layout.json'), 'no image that can be read'],
    [
      'a scan without resolution',
      (s) => (s.target.scan = folder.put('nodpi.png', plainScan(0))),
      'carries no resolution',
    ],
    [
      'a scan with a screen’s resolution',
      (s) => (s.target.scan = folder.put('72.png', plainScan(72))),
      '72.png says 72 dpi, as programs write that know none, and the sheet gives no "dpi"',
    ],
    ['no layout', (s) => (s.target.layout = 'our-card'), 'or one that is built in: card, iso12641-1, chart-4x6.'],
    ['nearly a built-in layout', (s) => (s.target.layout = 'chart4x6'), '(did you mean "chart-4x6"?)'],
    [
      'nearly a built-in reference',
      (s) => (s.target.reference = 'chart-4x6-publishd'),
      '(did you mean "chart-4x6-published"?)',
    ],
    [
      'another target’s reference',
      (s) => (s.target.reference = 'chart-4x6'),
      'Its ids are those of layout "chart-4x6"',
    ],
    ['no white sheet', (s) => Object.assign(s.target, { white: 'gone.png' }), 'target.white: '],
    [
      'nearly a scan’s id for the white sheet',
      (s) => Object.assign(s.target, { white: 'whit' }),
      'did you mean "white"?',
    ],
    [
      'a white sheet that is no image',
      (s) => Object.assign(s.target, { white: 'layout.json' }),
      'no image that can be read',
    ],
    [
      'a white sheet without resolution',
      (s) => Object.assign(s.target, { white: folder.put('nodpi.png', plainScan(0)) }),
      'target.white: ',
    ],
    [
      'the target’s own scan as white sheet',
      (s) => Object.assign(s.target, { white: 'target.png' }),
      'target.white: target.png is the scan that the target itself lies on',
    ],
    ['a broken layout', (s) => (s.target.layout = folder.put('bad.json', '{')), 'bad.json: line 1, column 2'],
    [
      'no reference',
      (s) => (s.target.reference = 'gone.txt'),
      'gone.txt: no such file; expected the target’s reference values',
    ],
    ['a reference that is an image', (s) => (s.target.reference = 'white.png'), 'no BEGIN_DATA_FORMAT in its'],
    [
      'a reference that lacks patches',
      (s) => (s.target.reference = folder.put('short.txt', short)),
      'lacks 3 of the 4 patches of layout "four squares" (A2, A3, A4)',
    ],
    [
      'points outside the scan',
      (s) =>
        Object.assign(s.target, {
          pointsMm: [
            [1, 1],
            [41, 1],
            [41, 9],
            [1, 9],
          ],
        }),
      '[41, 1] lies outside its scan of 40.0 × 30.0 mm',
    ],
    [
      'points in another order',
      (s) =>
        Object.assign(s.target, {
          pointsMm: [
            [1, 1],
            [1, 9],
            [9, 9],
            [9, 1],
          ],
        }),
      'clockwise',
    ],
  ])('unusable: %s', async (_, change, words) => {
    const loaded = await loadSheet(put(change));
    expect(loaded.regions).toEqual([]);
    expect(loaded.problems.map((p) => p.region)).toEqual(['bare', 'ef', 'run']);
    expect(loaded.targetProblems).toHaveLength(1);
    expect(loaded.targetProblems[0]).toContain(words);
    expect(loaded.targetProblems[0]).not.toContain('\n');
    expect(loaded.target).toBeNull();
  });

  test('one scan’s own target fails: the others keep the sheet’s', async () => {
    const files = { layout: 'layout.json', reference: 'gone.txt' };
    const loaded = await loadSheet(put((s) => Object.assign(s.scans[1], { target: files })));
    expect(loaded.regions.map((r) => r.id)).toEqual(['bare', 'ef']);
    expect(loaded.problems.map((p) => p.region)).toEqual(['run']);
    expect(loaded.target).not.toBeNull();
  });
});

test('what is special about a scan is said', async () => {
  folder.put('white.png', drawPng({ ...ALPHA, colourType: 6 }));
  expect((await loadSheet(put())).warnings).toEqual([
    'scan "white": white.png: its fourth channel (alpha) is left out',
  ]);
});
