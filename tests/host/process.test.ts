/** The command line as a process: exit codes, what goes to which stream, and what is left on disk. */
import { exec, execFile } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { drawIcc } from './drawIcc.ts';
import { drawPng } from './drawPng.ts';
import { drawTiff } from './drawTiff.ts';
import { ONE_LINE } from './commandBench.ts';
import type { Sound } from './commandBench.ts';
import { testFolder } from './folder.ts';
import { listen } from './listen.ts';
import { plainScan, putFiles, REFERENCE, soundSheet } from './smallSheet.ts';

const folder = testFolder();
const at = (name: string) => join(folder.path, name);

interface Ran {
  readonly code: number | string;
  readonly out: string;
  readonly err: string;
}

/** One line for the shell, for what only a pipe can show. */
function shell(line: string): Promise<Ran> {
  return new Promise((resolve) => {
    exec(line, (error, out, err) => resolve({ code: error ? (error.code ?? 'killed') : 0, out, err }));
  });
}

function wetline(...args: string[]): Promise<Ran> {
  return new Promise((resolve) => {
    execFile(process.execPath, ['bin/wetline.mjs', ...args], (error, out, err) => {
      resolve({ code: error ? (error.code ?? 'killed') : 0, out, err });
    });
  });
}

function putSheet(name: string, edit: (sheet: Sound) => unknown = () => undefined): string {
  const sheet = soundSheet();
  edit(sheet);
  return folder.put(name, JSON.stringify(sheet));
}

beforeAll(() => {
  putFiles(folder);
  const noise = Uint8Array.from({ length: 3 * 64 * 64 }, (_, i) => (i * i * 31 + (i >> 3)) % 256);
  const png = drawPng({ widthPx: 64, heightPx: 64, samples: noise });
  folder.put('whole.png', png);
  folder.put('short.png', png.subarray(0, png.length >> 1));
  folder.put(
    'full.tif',
    drawTiff({ widthPx: 64, heightPx: 64, samples: noise, bits: 16, dpi: 600, icc: drawIcc('Wide') }),
  );
  folder.put('grey.tif', drawTiff({ widthPx: 64, heightPx: 64, samples: noise, channels: 1, dpi: 300 }));
});

test('what was built from the sources runs; with --debug the sources themselves, whose lines the stack then names', async () => {
  const [built, sources] = await Promise.all([
    wetline('measure', at('gone.json')),
    wetline('measure', at('gone.json'), '--debug'),
  ]);
  expect([built.code, sources.code]).toEqual([2, 2]);
  expect(built.err).toMatch(ONE_LINE);
  expect(sources.err).toContain('electron/sheet/sheet.ts:');
  expect(readFileSync('dist/host/cli.js', 'utf8')).toContain('unknown command');
});

describe('check', () => {
  test.concurrent('--json: one line a file with exactly the keys of the contract', async () => {
    const files = ['full.tif', 'whole.png', 'short.png', 'grey.tif', 'gone.tif', 'layout.json'].map(at);
    const { code, out, err } = await wetline('check', '--json', ...files);
    expect([code, err]).toEqual([1, '']);
    const lines = out
      .trimEnd()
      .split('\n')
      .map((line): Record<string, unknown> => JSON.parse(line));
    for (const line of lines) {
      expect(Object.keys(line)).toEqual([
        'file',
        'readable',
        'width',
        'height',
        'bits',
        'channels',
        'dpi',
        'icc',
        'problem',
      ]);
    }
    expect(lines.map((l) => l.file)).toEqual(files);
    expect(lines.map((l) => l.readable)).toEqual([true, true, false, false, false, false]);
    expect(lines[0]).toMatchObject({
      width: 64,
      height: 64,
      bits: 16,
      channels: 3,
      dpi: 600,
      icc: 'Wide',
      problem: null,
    });
    expect(lines[1]).toMatchObject({ bits: 8, dpi: null, icc: null, problem: null });
    expect(lines[2].problem).toContain('starts as a PNG but cannot be decoded');
    expect(lines[3]).toMatchObject({ width: 64, channels: 1, dpi: 300 });
    expect(lines[3].problem).toContain('a grey image; expected red, green and blue');
    expect(lines[4]).toMatchObject({ width: null, dpi: null });
    expect(lines[4].problem).toContain('no such file');
    expect(lines[5].problem).toContain('no image that can be read');
  });

  test('in words; exit code 0 when all are readable', async () => {
    const { code, out, err } = await listen(['check', at('full.tif'), at('whole.png')]);
    expect([code, err]).toEqual([0, '']);
    expect(out.trimEnd().split('\n')).toEqual([
      `readable: ${at('full.tif')}: 64 × 64 px (2.7 × 2.7 mm), 3 channels of 16 bits, 600 dpi, ICC profile "Wide" (not applied)`,
      `readable: ${at('whole.png')}: 64 × 64 px, 3 channels of 8 bits, no resolution (give "dpi" in the sheet), no ICC profile`,
    ]);
  });

  test.concurrent('a reader that has seen enough is no fault', async () => {
    const files = Array.from({ length: 40 }, () => at('gone.tif')).join(' ');
    const { code, err } = await shell(`"${process.execPath}" bin/wetline.mjs check ${files} | true`);
    expect([code, err]).toEqual([0, '']);
  });

  test.concurrent('a full disk behind standard output is told in one line, exit code 2', async () => {
    const { code, err } = await shell(`"${process.execPath}" bin/wetline.mjs check ${at('full.tif')} > /dev/full`);
    expect(code).toBe(2);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain('standard output: the disk is full');
  });

  test.concurrent('a file larger than may be written is told in one line, and nothing of it is left', async () => {
    const out = at('large.pdf');
    const { code, err } = await shell(`ulimit -f 1; "${process.execPath}" bin/wetline.mjs card --out ${out}`);
    expect(code).toBe(2);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain(`${out}: files as large as this may not be written there`);
    expect(readdirSync(folder.path).filter((name) => name.includes('large.pdf'))).toEqual([]);
  });

  test.concurrent('messages that nobody can be told cost no results', async () => {
    const { code, out } = await shell(`"${process.execPath}" bin/wetline.mjs help 2> /dev/full`);
    expect([code, out.slice(0, 8)]).toEqual([0, 'wetline:']);
  });
});

describe('measure on what cannot be used: exit code 2, one line, nothing on disk', () => {
  const short = REFERENCE.replace(/^A[34].*\n/gm, '').replace('SETS 4', 'SETS 2');
  const cases: [string, () => string, string][] = [
    ['no sheet', () => at('gone.json'), 'gone.json: no such file'],
    [
      'an unknown key',
      () => putSheet('p2.json', (s) => Object.assign(s.regions[1], { nibWith: 1 })),
      'regions[1].nibWith (region "ef"): unknown key',
    ],
    [
      'boxes outside',
      () => putSheet('p3.json', (s) => s.regions.forEach((r) => (r.boxMm = [39, 29, 9, 9]))),
      '40 × 30 mm',
    ],
    [
      'a reference that lacks patches',
      () => {
        folder.put('short.txt', short);
        return putSheet('p6.json', (s) => (s.target.reference = 'short.txt'));
      },
      'short.txt: lacks 2 of the 4 patches of layout "four squares" (A3, A4)',
    ],
    [
      'no resolution anywhere',
      () => {
        folder.put('nodpi.png', plainScan(0));
        return putSheet('p7.json', (s) => s.scans.forEach((scan) => (scan.file = 'nodpi.png')));
      },
      'carries no resolution and the sheet gives no "dpi"',
    ],
  ];
  const isLeftBehind = (name: string) => name.includes('findings') || name.includes('.tmp-');

  test.each(cases)('%s', async (_, sheet, words) => {
    const file = sheet();
    const heard = await listen(['measure', file, '--out', `${file}.findings.json`]);
    expect([heard.code, heard.out]).toEqual([2, '']);
    expect(heard.err).toMatch(ONE_LINE);
    expect(heard.err).toContain(words);
    expect(readdirSync(folder.path).filter(isLeftBehind)).toEqual([]);
  });

  test('a target that is not in its scan, as a process', async () => {
    const pointsMm = [
      [0, 0],
      [39, 0],
      [39, 29],
      [0, 29],
    ];
    const file = putSheet('p8.json', (s) => Object.assign(s.target, { pointsMm }));
    const ran = await wetline('measure', file, '--out', `${file}.findings.json`);
    expect([ran.code, ran.out]).toEqual([2, '']);
    expect(ran.err).toMatch(ONE_LINE);
    expect(readdirSync(folder.path).filter(isLeftBehind)).toEqual([]);
  });
});

/** A sheet that names no target and asks for one region. */
function relative(name: string, edit: (sheet: Sound) => unknown = () => undefined): string {
  return putSheet(name, (s) => {
    Reflect.deleteProperty(s, 'target');
    s.regions = s.regions.slice(0, 1);
    edit(s);
  });
}

describe('measure without a target', () => {
  test('writes what was asked for, whole, and replaces nothing', async () => {
    const sheet = relative('relative.json');
    const ran = await wetline('measure', sheet, '--out', at('relative.out'), '--csv', at('relative.csv'));
    expect(ran).toEqual({ code: 0, out: '', err: '' });
    const written = readFileSync(at('relative.out'), 'utf8');
    expect(JSON.parse(written)).toMatchObject({
      format: 'wetline-findings/1',
      calibration: { judgement: 'none', leftOutMedian: null, patches: [] },
    });
    expect(written).toContain('"uncalibrated"');
    expect(readFileSync(at('relative.csv'), 'utf8')).toContain('paperColour,bare,');
    const again = await wetline('measure', sheet, '--out', at('relative.out'), '--csv', at('other.csv'));
    expect(again.code).toBe(2);
    expect(again.err).toMatch(ONE_LINE);
    expect(readFileSync(at('relative.out'), 'utf8')).toBe(written);
    expect(readdirSync(folder.path)).not.toContain('other.csv');
  });

  test('a scan that is cut short costs its own regions only: exit code 1, the rest is printed', async () => {
    const sheet = relative('partly.json', (s) => {
      s.scans.push({ id: 'cut', file: 'short.png', dpi: 25 } as Sound['scans'][number]);
      s.regions.push({ id: 'lost', scan: 'cut', kind: 'paper', boxMm: [0, 0, 60, 60] });
    });
    const { code, out, err } = await wetline('measure', sheet, '--json');
    expect(code).toBe(1);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain('region "lost"');
    expect(err).toContain('short.png');
    expect(JSON.parse(out).findings[0].subject.regions).toEqual(['bare']);
  });
});
