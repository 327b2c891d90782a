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

/** @param pixel Red, green and blue of one, given chance. */
async function boxOf(pixel: (random: () => number) => readonly [number, number, number]): Promise<number> {
  const folder = await mkdtemp(join(tmpdir(), 'wetline-grey-'));
  try {
    const random = seededRandom(3);
    const data = Uint8Array.from(Array.from({ length: WIDTH * HEIGHT }, () => pixel(random)).flat());
    const file = join(folder, 'page.tif');
    await sharp(data, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } })
      .tiff({ compression: 'none' })
      .toFile(file);
    const info = await scanInfo(file);
    return (await linearBox(info, 300, [0, 0, WIDTH, HEIGHT], compileCalibration(nominalCalibration))).data.length;
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
