/** A page that was scanned in grey and saved with three channels gives no colours. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { linearBox } from '../../electron/jobs/scanBands.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';

const [WIDTH, HEIGHT] = [60, 40];

/** @param pixel Red, green and blue of one, given chance. @param heightPx How much of the scan is read, from the top. */
async function boxOf(
  pixel: (random: () => number, row: number) => readonly [number, number, number],
  heightPx = HEIGHT,
): Promise<number> {
  const folder = await mkdtemp(join(tmpdir(), 'wetline-grey-'));
  try {
    const random = seededRandom(3);
    const data = Uint8Array.from(
      Array.from({ length: WIDTH * HEIGHT }, (_, i) => pixel(random, Math.floor(i / WIDTH))).flat(),
    );
    const file = join(folder, 'page.tif');
    await sharp(data, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } })
      .tiff({ compression: 'none' })
      .toFile(file);
    const info = await scanInfo(file);
    return (await linearBox(info, 300, [0, 0, WIDTH, heightPx], compileCalibration(nominalCalibration))).data.length;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

test('red, green and blue that are one through all noise are refused', async () => {
  const grey = boxOf((random) => {
    const value = Math.floor(200 + 20 * random());
    return [value, value, value];
  });
  await expect(grey).rejects.toThrow(/page\.tif: The scan has no colour: .*Scan in colour/);
});

test('paper at the end of the scale, and the greyest scan in colour, are not', async () => {
  expect(await boxOf(() => [255, 255, 255])).toBe(3 * WIDTH * HEIGHT);
  let n = 0;
  const nearlyGrey = boxOf((random) => {
    const value = Math.floor(200 + 20 * random());
    return [value, value, ++n === WIDTH * HEIGHT ? value + 1 : value];
  });
  expect(await nearlyGrey).toBe(3 * WIDTH * HEIGHT);
});

test('a grey box of a scan that has colour elsewhere is read: paper of a JPEG that was packed hard', async () => {
  const box = boxOf((random, row) => {
    const value = Math.floor(200 + 20 * random());
    return row < 30 ? [value, value, value] : [value, value - 60, value];
  }, 30);
  expect(await box).toBe(3 * WIDTH * 30);
});
