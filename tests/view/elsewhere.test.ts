/** A scan's piece shown on another ground: through the view and its worker, and kept for whoever asks again. */
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, test, vi } from 'vitest';
import { shown } from '../../analysis/colour/shown.ts';
import type { DoseSteps } from '../../analysis/measure/opacity/otherGround.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import { ElsewherePictures } from '../../electron/answers/elsewhere.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { View, type ViewScan } from '../../electron/view/view.ts';
import { drawPng } from '../host/drawPng.ts';
import { testFolder } from '../host/folder.ts';

const folder = testFolder();
const SIZE = { widthPx: 120, heightPx: 60 };
const WHITE: LabValue = [95, 0, 1];
const BLUE: LabValue = [35, 10, -40];
const STEPS: DoseSteps = {
  from: [WHITE, [65, 3, -22], BLUE],
  to: [
    [85, -5, 60],
    [60, -8, 10],
    [33, 4, -22],
  ],
};

/** Paper above, ink below, a bright green stain at the right. */
async function scan(): Promise<ViewScan> {
  const samples = new Uint8Array(3 * SIZE.widthPx * SIZE.heightPx);
  const rgb = [WHITE, BLUE, [60, -60, 45] as const].map((lab) => shown(lab).rgb);
  for (let i = 0; i < samples.length / 3; i++) {
    const [x, y] = [i % SIZE.widthPx, Math.floor(i / SIZE.widthPx)];
    samples.set(x >= 100 ? rgb[2] : rgb[y < 30 ? 0 : 1], 3 * i);
  }
  const file = folder.put('page.png', drawPng({ ...SIZE, samples }));
  return { file, hash: 'page', info: await scanInfo(file), dpi: 300, colours: { by: 'assumed-srgb', key: 'assumed' } };
}

async function colourAt(png: Uint8Array, x: number, y: number): Promise<number[]> {
  const { data, info } = await sharp(png).removeAlpha().raw().toBuffer({ resolveWithObject: true });
  const at = 3 * (y * info.width + x);
  return [...data.subarray(at, at + 3)];
}

describe('writing on another ground', () => {
  const view = new View({ cacheFolder: join(folder.path, 'cache') });

  test('paper and ink become what they are there, what is neither stays', async () => {
    const page = await scan();
    const png = await view.thumbnailLaidOn(
      page,
      300,
      [0, 0, 120, 60],
      { mmPerPixel: 25.4 / 300, columns: 120, rows: 60 },
      STEPS,
    );
    const near = (got: number[], lab: LabValue): number =>
      Math.max(...got.map((v, c) => Math.abs(v - shown(lab).rgb[c])));
    expect(near(await colourAt(png, 20, 10), STEPS.to[0])).toBeLessThanOrEqual(2);
    expect(near(await colourAt(png, 20, 50), STEPS.to[2])).toBeLessThanOrEqual(2);
    expect(near(await colourAt(png, 110, 30), [60, -60, 45])).toBeLessThanOrEqual(2);
    const plain = await view.crop(page, [0, 0, 120, 60], 120);
    expect(near(await colourAt(plain, 20, 10), WHITE)).toBeLessThanOrEqual(2);
  });

  test('a region’s picture as scanned is made once for each size', async () => {
    const page = await scan();
    const ask = (columns: number) =>
      view.thumbnail(page, 300, [0, 0, 120, 60], { mmPerPixel: 25.4 / 300, columns, rows: 30 });
    const first = await ask(60);
    expect(await ask(60)).toBe(first);
    expect((await sharp(await ask(40)).metadata()).width).toBe(40);
  });

  test('a picture is made once while it is the same, and anew for another ground', async () => {
    const page = await scan();
    const made = vi.spyOn(view, 'thumbnailLaidOn');
    const pictures = new ElsewherePictures();
    const size = { mmPerPixel: 25.4 / 300, columns: 60, rows: 30 };
    const ask = (to: DoseSteps['to']) =>
      pictures.picture(view, page, 300, [0, 0, 120, 60], size, { region: 'a', from: STEPS.from, to });
    const [first, again, other] = await Promise.all([ask(STEPS.to), ask(STEPS.to), ask(STEPS.from)]);
    expect(made).toHaveBeenCalledTimes(2);
    expect(again).toBe(first);
    expect(Buffer.compare(first, other)).not.toBe(0);
    await view.close();
  });

  test('what failed is not kept', async () => {
    const page = await scan();
    const pictures = new ElsewherePictures();
    const failing = new View({ cacheFolder: join(folder.path, 'cache2') });
    const made = vi.spyOn(failing, 'thumbnailLaidOn').mockRejectedValue(new Error('the disk is full'));
    const ask = () =>
      pictures.picture(
        failing,
        page,
        300,
        [0, 0, 120, 60],
        { mmPerPixel: 0.1, columns: 60, rows: 30 },
        { region: 'a', ...STEPS },
      );
    await expect(ask()).rejects.toThrow('the disk is full');
    await expect(ask()).rejects.toThrow('the disk is full');
    expect(made).toHaveBeenCalledTimes(2);
    await failing.close();
  });
});
