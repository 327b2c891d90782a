import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { isLookedAt } from '../../analysis/locate/pageCells.ts';
import { surfaceAt } from '../../analysis/raster/lowOrderSurface.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { findBarePaper } from '../../electron/jobs/findBarePaper.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';

const looked = (across: number, down: number): number[] =>
  Array.from({ length: down }, (_, n) => n).filter((n) => isLookedAt(n, across, down));

test('of a page of many cells one row in three is looked at, at no even pitch; of a smaller one every row', () => {
  expect(looked(100, 139)).toHaveLength(139);
  const rows = looked(140, 198);
  expect(rows.map((n) => Math.floor(n / 3))).toEqual(Array.from({ length: 66 }, (_, group) => group));
  for (const phase of [0, 1, 2]) expect(rows.filter((n) => n % 3 === phase).length).toBeGreaterThan(12);
});

test.each([
  [1, 1, undefined],
  [1.5, 1, true],
  [1.5, 0, undefined],
])('a page enlarged %f times is told where lines are written on it (%i)', async (factor, lines, expected) => {
  const random = seededRandom(5);
  const [side, last] = [420, Math.round(420 * factor)];
  const noise = Uint8Array.from({ length: 3 * side * side }, () => 200 + 20 * random());
  const folder = await mkdtemp(join(tmpdir(), 'wetline-paper-'));
  try {
    const file = join(folder, 'page.tif');
    await sharp(noise, { raw: { width: side, height: side, channels: 3 } })
      .resize(last, last)
      .tiff({ compression: 'none' })
      .toFile(file);
    const { resampled } = await findBarePaper({
      task: 'paper',
      info: await scanInfo(file),
      dpi: 300,
      calibration: nominalCalibration,
      boxPx: [0, 0, last, last],
      markedPx: [],
      writtenPx: Array.from({ length: lines }, () => [10, 10, 100, 100] as const),
    });
    expect(resampled).toBe(expected);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
});

test.each([30, 31, 32])('what a person marked is looked at in whichever row it lies (%i)', async (row) => {
  const [cellPx, across, down] = [6, 160, 160];
  const [width, height] = [across * cellPx, down * cellPx];
  const random = seededRandom(5);
  const marked = [120, row * cellPx, 300, cellPx] as const;
  const data = Uint8Array.from({ length: 3 * width * height }, (_, i) => {
    const [x, y] = [Math.floor(i / 3) % width, Math.floor(i / 3 / width)];
    const isMarked = x >= 120 && x < 420 && y >= marked[1] && y < marked[1] + cellPx;
    return (isMarked ? 170 : 230) + 4 * random();
  });
  const folder = await mkdtemp(join(tmpdir(), 'wetline-paper-'));
  try {
    const file = join(folder, 'page.tif');
    await sharp(data, { raw: { width, height, channels: 3 } })
      .tiff({ compression: 'none' })
      .toFile(file);
    const { paper } = await findBarePaper({
      task: 'paper',
      info: await scanInfo(file),
      dpi: 100,
      calibration: nominalCalibration,
      boxPx: [0, 0, width, height],
      markedPx: [marked],
      writtenPx: [],
    });
    const at = [0, 0, 0];
    surfaceAt(paper!.surface, 60, (row + 0.5) * 1.5, at);
    // 172 of 255 by the curve of sRGB.
    expect(at[1]).toBeCloseTo(0.413, 2);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
});
