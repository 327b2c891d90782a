/** Scans as pictures and numbers: right colours, right addresses, right words when a place or a key is wrong. */
import { writeFileSync } from 'node:fs';
import sharp from 'sharp';
import { beforeAll, describe, expect, test } from 'vitest';
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import type { WorkScan } from '../../electron/backend/api.ts';
import type { Probe } from '../../electron/backend/probeAnswer.ts';
import { backendBench, drawSwab, problemIn } from './backendBench.ts';

const bench = backendBench();
let scan: WorkScan;
let base: string;

beforeAll(async () => {
  const work = await bench.inkWith({ 'white.png': drawSwab() });
  [scan] = work.scans;
  base = `/api/inks/${work.ink.id}/scans/${scan.id}`;
});

async function picture(path: string) {
  const answer = await bench.ask(path);
  const bytes = new Uint8Array(await answer.arrayBuffer());
  const { data, info } = await sharp(bytes).raw().toBuffer({ resolveWithObject: true });
  const at = (x: number, y: number) => [...data.subarray(info.channels * (y * info.width + x)).subarray(0, 3)];
  return { answer, width: info.width, height: info.height, at };
}

test('a scan without a profile is taken as sRGB, and says so', () => {
  expect(scan).toMatchObject({ widthPx: 300, heightPx: 200, bits: 16, tileSize: 256 });
  expect(scan.colours).toMatchObject({ by: 'assumed-srgb', words: expect.stringContaining('sRGB') });
});

test('a tile at full resolution shows the colours of the scan, and may be kept for good', async () => {
  const last = scan.levels - 1;
  const { answer, width, height, at } = await picture(`${base}/tiles/${scan.colours.key}/${last}/0/0`);
  expect([answer.status, width, height]).toEqual([200, 256, 200]);
  expect(answer.headers.get('content-type')).toBe('image/png');
  expect(answer.headers.get('cache-control')).toBe('private, max-age=31536000, immutable');
  const expected = [11_000, 16_000, 35_000].map((v) => Math.round((v / 65_535) * 255));
  at(150, 100).forEach((value, channel) => expect(Math.abs(value - expected[channel])).toBeLessThanOrEqual(1));
  expect(at(20, 20)[0]).toBeGreaterThan(230);
  const right = await picture(`${base}/tiles/${scan.colours.key}/${last}/1/0`);
  expect([right.width, right.height]).toEqual([44, 200]);
});

test('a scan that its disk has damaged since it came in is told by its name, with what to do', async () => {
  // A byte behind the end: another file than that of the other tests.
  const page = Buffer.concat([drawSwab(), Buffer.alloc(1)]);
  const work = await bench.inkWith({ 'page of May.png': page });
  const [{ id, colours }] = work.scans;
  const { scans } = bench.host.library.document(work.ink.id);
  page[Math.floor(page.length / 2)] ^= 8;
  writeFileSync(bench.host.library.file(scans[0].hash)!.path, page);
  const answer = await bench.ask(`/api/inks/${work.ink.id}/scans/${encodeURIComponent(id)}/overview/${colours.key}`);
  expect(await problemIn(answer)).toMatchObject({
    status: 422,
    message: expect.stringMatching(/^page of May\.png: starts as a PNG but cannot be decoded .*copy it again/),
  });
});

test('an overview and a crop show the same', async () => {
  const overview = await picture(`${base}/overview/${scan.colours.key}`);
  expect([overview.width, overview.height]).toEqual([300, 200]);
  const crop = await picture(`${base}/crop?x=100&y=40&width=120&height=100&columns=60`);
  expect([crop.width, crop.height]).toEqual([60, 50]);
  expect(crop.answer.headers.get('cache-control')).toBe('no-store');
  const keyed = await bench.ask(`${base}/crop?x=100&y=40&width=120&height=100&columns=60&key=${scan.colours.key}`);
  expect(keyed.headers.get('cache-control')).toContain('immutable');
  expect(crop.at(30, 25)[2]).toBeGreaterThan(crop.at(30, 25)[0] + 50);
});

test('a thumbnail shows the ink of its region at a stated scale', async () => {
  const pxPerMm = (scan.dpi ?? 0) / 25.4;
  expect(pxPerMm).toBeGreaterThan(1);
  const asked = `x=0&y=0&width=300&height=200&mmPerPixel=${2 / pxPerMm}&columns=40&rows=20`;
  const { answer, width, height, at } = await picture(`${base}/thumbnail/${scan.colours.key}?${asked}`);
  expect([answer.status, width, height]).toEqual([200, 40, 20]);
  expect(answer.headers.get('cache-control')).toContain('immutable');
  // Ink all over, since the swab is larger than the picture.
  for (const [x, y] of [
    [2, 2],
    [37, 17],
  ])
    expect(at(x, y)[2]).toBeGreaterThan(at(x, y)[0] + 50);
});

test('Lab of a box comes as numbers', async () => {
  const answer = await bench.ask(`${base}/lab/${scan.colours.key}?x=0&y=0&width=300&height=200&columns=30`);
  expect(answer.headers.get('content-type')).toBe('application/octet-stream');
  expect([answer.headers.get('x-columns'), answer.headers.get('x-rows')]).toEqual(['30', '20']);
  const values = new Int16Array(await answer.arrayBuffer());
  expect(values).toHaveLength(3 * 30 * 20);
  const L = (column: number, row: number) => values[3 * (row * 30 + column)] / LAB_RASTER_SCALE;
  expect(L(2, 2)).toBeGreaterThan(90);
  expect(L(15, 9)).toBeLessThan(30);
});

test('the probe reads device values as scanned, all 16 bits of them', async () => {
  const probe = await bench.get<Probe>(`${base}/probe?x=10&y=10&radius=0`);
  const grain = ((10 * 37 + 10 * 91) % 64) - 32;
  expect(probe).toMatchObject({ pixels: 1, bits: 16, colours: 'assumed-srgb', flags: ['uncalibrated'] });
  expect(Math.min(...(probe.u ?? []))).toBeGreaterThan(1);
  expect(probe.device).toEqual([60_001 + grain, 59_002 + grain, 57_003 + grain]);
  const disc = await bench.get<Probe>(`${base}/probe?x=150&y=90&radius=10`);
  expect(disc.pixels).toBeGreaterThan(300);
  expect(disc.name).toMatch(/blue/);
});

describe('refused in a line', () => {
  test.each<[string, () => string, number, RegExp]>([
    [
      'a key of colours that are no more',
      () => `${base}/tiles/c000/0/0/0`,
      410,
      /Other colours belong to scan “white”/,
    ],
    ['the same for numbers', () => `${base}/lab/c000?x=0&y=0&width=9&height=9&columns=3`, 410, /Other colours/],
    ['a scan that never was', () => base.replace(/white$/, 'blue') + '/probe?x=1&y=1', 404, /“blue”/],
    ['a level that is none', () => `${base}/tiles/${scan.colours.key}/top/0/0`, 400, /"top" is no level/],
    ['a tile beside the scan', () => `${base}/tiles/${scan.colours.key}/0/7/0`, 400, /./],
    ['a place beside the scan', () => `${base}/probe?x=900&y=10`, 400, /outside/],
    ['a place that is no number', () => `${base}/probe?x=left&y=10`, 400, /x: found "left"; expected a number/],
    ['no place', () => `${base}/probe`, 400, /x is missing; expected a number/],
    ['a box without height', () => `${base}/crop?x=0&y=0&width=9&height=0&columns=3`, 400, /height: .*above 0/],
    ['a box without columns', () => `${base}/crop?x=0&y=0&width=9&height=9`, 400, /columns is missing/],
    [
      'a picture larger than a window',
      () => `${base}/crop?x=0&y=0&width=9&height=9&columns=4000`,
      400,
      /pixels asked for/,
    ],
    ['half a column', () => `${base}/crop?x=0&y=0&width=9&height=9&columns=3.5`, 400, /columns/],
  ])('%s', async (_, path, status, words) => {
    const problem = await problemIn(await bench.ask(path()));
    expect(problem).toMatchObject({ status, message: expect.stringMatching(words) });
    expect(problem.message).not.toContain('\n');
  });
});
