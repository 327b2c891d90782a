/** Many at once, aborts, kills, disks that are full or shut, scans that are gone: what is shown then, and what is said. */
import { spawn } from 'node:child_process';
import { existsSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { View } from '../../electron/view/view.ts';
import { drawPng } from '../host/drawPng.ts';
import { drawTiff } from '../host/drawTiff.ts';
import { testFolder } from '../host/folder.ts';
import { averaged, CALIBRATED, decoded, drawPixels, largestGap, plainXyz, viewScan } from './drawScan.ts';

const folder = testFolder();
const [WIDTH, HEIGHT] = [430, 1100];
const pixels = drawPixels(1, WIDTH, HEIGHT, 16);
const tiff = await viewScan(folder.put('scan.tif', drawTiff(pixels)), 'tiff', CALIBRATED);
const png = await viewScan(folder.put('scan.png', drawPng(pixels)), 'png', CALIBRATED);
const xyz = await plainXyz(tiff);

async function withView<T>(
  options: { cacheFolder: string; mostCacheBytes?: number },
  work: (view: View) => Promise<T>,
) {
  const view = new View(options);
  try {
    return await work(view);
  } finally {
    await view.close();
  }
}

async function showsRightly(view: View, scan: typeof tiff): Promise<void> {
  const full = await decoded(await view.tile(scan, 3, 1, 4));
  expect(largestGap(full, xyz, WIDTH, [256, 1024])).toBeLessThanOrEqual(1);
  const half = await decoded(await view.tile(scan, 2, 0, 1));
  expect(largestGap(half, averaged(xyz, WIDTH, 2), 215, [0, 256])).toBeLessThanOrEqual(2);
  const overview = await decoded(await view.overview(scan));
  expect(largestGap(overview, averaged(xyz, WIDTH, 2), 215, [0, 0])).toBeLessThanOrEqual(2);
  const { data } = await view.lab(scan, [0, 0, 400, 1000], 100);
  expect(data.length).toBe(3 * 100 * 250);
}

test.each([
  ['a TIFF', tiff],
  ['a PNG', png],
])('%s: all its tiles and more asked for at once, cold, are right', async (_, scan) => {
  const cacheFolder = join(folder.path, `many-${scan.hash}`);
  await withView({ cacheFolder }, async (view) => {
    const places = [0, 1].flatMap((column) => [0, 1, 2, 3, 4].map((row) => [column, row] as const));
    const [tiles, overview, raster] = await Promise.all([
      Promise.all(places.map(([column, row]) => view.tile(scan, 3, column, row))),
      view.overview(scan),
      view.lab(scan, [0, 0, WIDTH, HEIGHT], 50),
      view.tile(scan, 2, 0, 0),
      view.tile(scan, 0, 0, 0),
      view.probe(scan, 5, 5, 3),
    ]);
    for (const [i, [column, row]] of places.entries()) {
      expect(largestGap(await decoded(tiles[i]), xyz, WIDTH, [256 * column, 256 * row])).toBeLessThanOrEqual(1);
    }
    expect(overview.length).toBeGreaterThan(0);
    expect(raster.columns).toBe(50);
  });
  expect(readdirSync(cacheFolder)).toEqual([scan.hash]);
});

test('tiles that are no longer wanted are let go, and the others come', async () => {
  await withView({ cacheFolder: join(folder.path, 'aborts') }, async (view) => {
    const signals = Array.from({ length: 30 }, () => new AbortController());
    const asked = signals.map(({ signal }, i) => view.tile(tiff, 3, i % 2, Math.floor(i / 2) % 5, signal));
    for (const [i, controller] of signals.entries()) if (i % 3 !== 0) controller.abort();
    const found = await Promise.allSettled(asked);
    expect(found.map(({ status }) => status)).toEqual(asked.map((_, i) => (i % 3 === 0 ? 'fulfilled' : 'rejected')));
    await showsRightly(view, tiff);
  });
});

test('a program killed while it makes a pyramid leaves nothing that is taken for one', async () => {
  const cacheFolder = join(folder.path, 'kill');
  const script = folder.put(
    'make.mts',
    `import { makePyramid } from ${JSON.stringify(fileURLToPath(new URL('../../electron/view/pyramidCache.ts', import.meta.url)))};
     const scan = ${JSON.stringify(png)};
     for (let n = 0; ; n++) await makePyramid(${JSON.stringify(cacheFolder)}, 1e12, { ...scan, hash: n % 2 ? 'png' : 'other' });`,
  );
  const child = spawn(process.execPath, ['--import', import.meta.resolve('tsx'), script], {
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  const ended = new Promise((resolve) => child.on('exit', resolve));
  while (!existsSync(cacheFolder) || !readdirSync(cacheFolder).some((name) => name.endsWith('.part'))) await wait(1);
  child.kill('SIGKILL');
  await ended;
  await withView({ cacheFolder }, (view) => showsRightly(view, png));
  expect(readdirSync(cacheFolder).filter((name) => name.endsWith('.part'))).toEqual([]);
});

describe('shown all the same', () => {
  test.each([
    ['a TIFF', tiff],
    ['a PNG', png],
  ])('%s, when the cache cannot be made', async (_, scan) => {
    // A file where a folder should be: no rights in the world make a folder of it.
    const inTheWay = join(folder.path, `file-${scan.hash}`);
    writeFileSync(inTheWay, '');
    await withView({ cacheFolder: join(inTheWay, 'cache') }, (view) => showsRightly(view, scan));
    expect(statSync(inTheWay).isFile()).toBe(true);
  });

  test.each([
    ['a TIFF', tiff],
    ['a PNG', png],
  ])('%s, when the cache may hold less than its pyramid', async (_, scan) => {
    const cacheFolder = join(folder.path, `little-${scan.hash}`);
    await withView({ cacheFolder, mostCacheBytes: 1000 }, (view) => showsRightly(view, scan));
    expect(existsSync(cacheFolder) ? readdirSync(cacheFolder) : []).toEqual([]);
  });
});

test.each(['tif', 'png'])('a scan whose file is gone (%s): one line that says so', async (ending) => {
  const bytes = ending === 'tif' ? drawTiff(pixels) : drawPng(pixels);
  const scan = await viewScan(folder.put(`gone.${ending}`, bytes), `gone-${ending}`, CALIBRATED);
  rmSync(scan.file);
  await withView({ cacheFolder: join(folder.path, 'gone') }, async (view) => {
    for (const asked of [
      () => view.tile(scan, 3, 0, 0),
      () => view.tile(scan, 0, 0, 0),
      () => view.overview(scan),
      () => view.lab(scan, [0, 0, 400, 400], 100),
      () => view.probe(scan, 1, 1, 1),
    ]) {
      await expect(asked()).rejects.toMatchObject({
        name: 'ScanError',
        code: 'scan-missing',
        message: expect.stringMatching(/^[^\n]*gone\.[a-z]+: no such file[^\n]*$/),
      });
    }
  });
});
