/** Tiles and overviews against calibrating the original's pixels one by one, in every kind of file. */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Xyz } from '../../analysis/colour/lab.ts';
import { makePyramid } from '../../electron/view/pyramidCache.ts';
import type { ViewScan } from '../../electron/view/messages.ts';
import { View } from '../../electron/view/view.ts';
import { drawPng } from '../host/drawPng.ts';
import { drawTiff } from '../host/drawTiff.ts';
import { testFolder } from '../host/folder.ts';
import {
  ASSUMED,
  averaged,
  CALIBRATED,
  decoded,
  type Drawn,
  drawPixels,
  largestGap,
  type Picture,
  plainXyz,
  viewScan,
} from './drawScan.ts';

const folder = testFolder();
const cacheFolder = join(folder.path, 'cache');
const view = new View({ cacheFolder });
afterAll(() => view.close());

/** Three levels, both sides odd, the last tiles a sliver. */
const [WIDTH, HEIGHT] = [267, 523];

const KINDS: readonly (readonly [string, 8 | 16, string, (drawn: Drawn) => Buffer | Promise<Buffer>])[] = [
  ['a TIFF in strips', 16, 'tif', (d) => drawTiff({ ...d, rowsPerStrip: 50 })],
  ['a big-endian TIFF in one strip', 16, 'tif', (d) => drawTiff(d, { littleEndian: false })],
  ['a BigTIFF', 8, 'tif', (d) => drawTiff({ ...d, rowsPerStrip: 7 }, { big: true })],
  ['a TIFF in tiles', 16, 'tif', (d) => drawTiff({ ...d, tilePx: 64 })],
  ['a TIFF in planes', 8, 'tif', (d) => drawTiff({ ...d, planar: true })],
  ['a packed TIFF', 16, 'tif', async (d) => packed(drawTiff(d))],
  ['a PNG', 16, 'png', (d) => drawPng(d)],
  ['a PNG of 8 bits', 8, 'png', (d) => drawPng(d)],
  ['a PNG with alpha', 16, 'png', (d) => drawPng({ ...d, colourType: 6, samples: withAlpha(d) })],
  ['a JPEG', 8, 'jpg', (d) => sharp(drawTiff(d)).jpeg({ quality: 90 }).toBuffer()],
  ['a WebP', 8, 'webp', (d) => sharp(drawTiff(d)).webp({ quality: 90 }).toBuffer()],
];

function withAlpha({ samples }: Drawn): number[] {
  const out: number[] = [];
  for (let i = 0; i < samples.length; i += 3) out.push(samples[i], samples[i + 1], samples[i + 2], 30000 + (i % 5000));
  return out;
}

function packed(tiff: Buffer): Promise<Buffer> {
  return sharp(tiff).toColourspace('rgb16').tiff({ compression: 'deflate', predictor: 'horizontal' }).toBuffer();
}

describe.each(KINDS)('%s of %i bits', (name, bits, ending, write) => {
  const called = name.replaceAll(' ', '-');
  let scan: ViewScan;
  let xyz: Xyz[];
  beforeAll(async () => {
    const file = folder.put(`${called}.${ending}`, await write(drawPixels(bits, WIDTH, HEIGHT, bits)));
    scan = await viewScan(file, called, CALIBRATED);
    xyz = await plainXyz(scan);
  });

  test('full resolution: within a code of calibrating the scan’s own pixels, at the edges too', async () => {
    expect(scan.info.bits).toBe(bits);
    for (const [column, row] of [
      [0, 0],
      [1, 1],
      [1, 2],
    ]) {
      const tile = await decoded(await view.tile(scan, 2, column, row));
      expect([tile.widthPx, tile.heightPx]).toEqual([
        Math.min(256, WIDTH - 256 * column),
        Math.min(256, HEIGHT - 256 * row),
      ]);
      expect(largestGap(tile, xyz, WIDTH, [256 * column, 256 * row])).toBeLessThanOrEqual(1);
    }
  });

  test('smaller levels: means of the light, right to two codes', async () => {
    const half = await decoded(await view.tile(scan, 1, 0, 0));
    expect(largestGap(half, averaged(xyz, WIDTH, 2), Math.ceil(WIDTH / 2), [0, 0])).toBeLessThanOrEqual(2);
    const whole = await decoded(await view.tile(scan, 0, 0, 0));
    expect([whole.widthPx, whole.heightPx]).toEqual([67, 131]);
    expect(largestGap(whole, averaged(xyz, WIDTH, 4), 67, [0, 0])).toBeLessThanOrEqual(3);
  });
});

test('a pyramid once made gives the tiles that a scan never looked at gives, to a code', async () => {
  const [width, height] = [300, 1100];
  const file = folder.put('again.tif', drawTiff(drawPixels(9, width, height, 16)));
  const scan = await viewScan(file, 'again', CALIBRATED);
  const places = [
    [3, 1, 4],
    [2, 0, 1],
    [1, 0, 1],
    [0, 0, 0],
  ] as const;
  const cold = await Promise.all(places.map(([level, column, row]) => view.tile(scan, level, column, row)));
  await makePyramid(cacheFolder, 1e9, scan);
  const other = new View({ cacheFolder });
  try {
    const xyz = await plainXyz(scan);
    for (const [i, [level, column, row]] of places.entries()) {
      const warm = await decoded(await other.tile(scan, level, column, row));
      expect(gapOf(await decoded(cold[i]), warm)).toBeLessThanOrEqual(1);
      const side = 2 ** (3 - level);
      const at = [256 * column, 256 * row] as const;
      expect(largestGap(warm, averaged(xyz, width, side), Math.ceil(width / side), at)).toBeLessThanOrEqual(3);
    }
  } finally {
    await other.close();
  }
});

test('other colours of the same scan need no other pyramid, and are other colours', async () => {
  const scan = await viewScan(folder.put('two.tif', drawTiff(drawPixels(5, WIDTH, HEIGHT, 16))), 'two', CALIBRATED);
  await view.tile(scan, 0, 0, 0);
  const assumed = { ...scan, colours: ASSUMED };
  const xyz = await plainXyz(assumed);
  const tile = await decoded(await view.tile(assumed, 2, 0, 0));
  expect(largestGap(tile, xyz, WIDTH, [0, 0])).toBeLessThanOrEqual(1);
  expect(largestGap(tile, await plainXyz(scan), WIDTH, [0, 0])).toBeGreaterThan(5);
});

function gapOf(one: Picture, other: Picture): number {
  expect(one.data.length).toBe(other.data.length);
  return one.data.reduce((gap, v, i) => Math.max(gap, Math.abs(v - other.data[i])), 0);
}

describe('an overview', () => {
  /** Longer than an overview may be, and narrow. */
  const TALL = [60, 1100] as const;

  test.each([
    ['tif', (d: Drawn) => drawTiff(d)],
    ['png', (d: Drawn) => drawPng(d)],
  ])('%s: at most 1024 px, means of the light, before and after its pyramid', async (ending, write) => {
    const [width, height] = TALL;
    const file = folder.put(`tall.${ending}`, write(drawPixels(3, width, height, 16)));
    const scan = await viewScan(file, `tall-${ending}`, CALIBRATED);
    const cold = await view.overview(scan);
    const picture = await decoded(cold);
    expect([picture.widthPx, picture.heightPx]).toEqual([width / 2, height / 2]);
    expect(largestGap(picture, averaged(await plainXyz(scan), width, 2), width / 2, [0, 0])).toBeLessThanOrEqual(2);
    await makePyramid(cacheFolder, 1e9, scan);
    const other = new View({ cacheFolder });
    const warm = await decoded(await other.overview(scan).finally(() => other.close()));
    expect(gapOf(picture, warm)).toBeLessThanOrEqual(1);
  });

  test('is ready once its pixels were decoded, whatever its colours become', async () => {
    const file = folder.put('ready.png', drawPng(drawPixels(5, ...TALL, 16)));
    const scan = await viewScan(file, 'ready', CALIBRATED);
    const { hash, info } = scan;
    const xyz = await plainXyz(scan);
    await view.decode({ file, hash, info });
    rmSync(file);
    const picture = await decoded(await view.overview(scan));
    expect(largestGap(picture, averaged(xyz, TALL[0], 2), TALL[0] / 2, [0, 0])).toBeLessThanOrEqual(2);
  });

  test('made ahead or seen before is not made again, and is of its own colours alone', async () => {
    const scan = await viewScan(folder.put('ahead.png', drawPng(drawPixels(6, ...TALL, 16))), 'ahead', CALIBRATED);
    const ahead = view.overviewAhead(scan);
    const other = view.overview({ ...scan, colours: ASSUMED });
    const [first, second] = await Promise.all([view.overview(scan), view.overview(scan)]);
    await ahead;
    expect(second).toBe(first);
    expect(await view.overview(scan)).toBe(first);
    const xyz = averaged(await plainXyz(scan), TALL[0], 2);
    expect(largestGap(await decoded(first), xyz, TALL[0] / 2, [0, 0])).toBeLessThanOrEqual(2);
    expect(Buffer.compare(await other, first)).not.toBe(0);
  });

  test('of a tile is not made again either, until its colours change', async () => {
    const scan = await viewScan(folder.put('seen.png', drawPng(drawPixels(6, 300, 270, 16))), 'seen', CALIBRATED);
    const first = await view.tile(scan, 1, 1, 0);
    expect(await view.tile(scan, 1, 1, 0)).toBe(first);
    expect(Buffer.compare(await view.tile(scan, 1, 0, 0), first)).not.toBe(0);
    expect(Buffer.compare(await view.tile({ ...scan, colours: ASSUMED }, 1, 1, 0), first)).not.toBe(0);
  });

  test('of a small scan is the scan', async () => {
    const scan = await viewScan(folder.put('small.tif', drawTiff(drawPixels(4, 90, 60, 8))), 'small', ASSUMED);
    const picture = await decoded(await view.overview(scan));
    expect([picture.widthPx, picture.heightPx]).toEqual([90, 60]);
    expect(largestGap(picture, await plainXyz(scan), 90, [0, 0])).toBeLessThanOrEqual(1);
  });
});

test.each([
  ['tif', (d: Drawn) => drawTiff(d)],
  ['png', (d: Drawn) => drawPng(d)],
])('a scan of a single pixel (%s)', async (ending, write) => {
  const scan = await viewScan(folder.put(`dot.${ending}`, write(drawPixels(1, 1, 1, 16))), `dot-${ending}`, CALIBRATED);
  const xyz = await plainXyz(scan);
  for (const png of [
    await view.tile(scan, 0, 0, 0),
    await view.overview(scan),
    await view.crop(scan, [0, 0, 1, 1], 9),
  ]) {
    const picture = await decoded(png);
    expect([picture.widthPx, picture.heightPx]).toEqual([1, 1]);
    expect(largestGap(picture, xyz, 1, [0, 0])).toBeLessThanOrEqual(1);
  }
});

test('no tile outside: one line', async () => {
  // Nothing of it is read: what it holds is no matter.
  const samples = new Uint8Array(3 * WIDTH * HEIGHT);
  const file = folder.put('bounds.tif', drawTiff({ widthPx: WIDTH, heightPx: HEIGHT, bits: 8, samples }));
  const scan = await viewScan(file, 'bounds', ASSUMED);
  for (const [level, column, row] of [
    [3, 0, 0],
    [2, 2, 0],
    [2, 0, 3],
    [0, 0, 1],
    [-1, 0, 0],
    [0, -1, 0],
    [0.5, 0, 0],
  ]) {
    await expect(view.tile(scan, level, column, row), `level ${level}, ${column}, ${row}`).rejects.toMatchObject({
      code: 'scan-outside',
      message: expect.stringMatching(/^[^\n]*no tile[^\n]*267 × 523 px in 3 levels[^\n]*$/),
    });
  }
});
