/** CIELAB rasters and crops of boxes, and the probe, against the measuring way and against plain arithmetic. */
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, describe, expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { pageLab } from '../../analysis/calibrate/pageLab.ts';
import { colourUncertainty } from '../../analysis/calibrate/uncertainty.ts';
import { LAB_RASTER_SCALE, labToRaster } from '../../analysis/colour/labRaster.ts';
import { labD50, xyzToLab, type Xyz } from '../../analysis/colour/lab.ts';
import { areaMeans } from '../../analysis/raster/areaMeans.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { type BoxPx, readScan } from '../../electron/scans/readScan.ts';
import { View } from '../../electron/view/view.ts';
import { drawPng } from '../host/drawPng.ts';
import { drawTiff } from '../host/drawTiff.ts';
import { testFolder } from '../host/folder.ts';
import {
  ASSUMED,
  averaged,
  CALIBRATED,
  CALIBRATION,
  decoded,
  drawPixels,
  largestGap,
  plainXyz,
  viewScan,
} from './drawScan.ts';

const folder = testFolder();
const view = new View({ cacheFolder: join(folder.path, 'cache') });
afterAll(() => view.close());

const [WIDTH, HEIGHT] = [420, 1110];
const pixels8 = drawPixels(8, WIDTH, HEIGHT, 8);
const pixels16 = drawPixels(16, WIDTH, HEIGHT, 16);
const scan8 = await viewScan(folder.put('8.tif', drawTiff(pixels8)), '8-bits', CALIBRATED);
const scan16 = await viewScan(folder.put('16.tif', drawTiff(pixels16)), '16-bits', CALIBRATED);
const png16 = await viewScan(folder.put('16.png', drawPng(pixels16)), 'png', CALIBRATED);
const xyz16 = await plainXyz(scan16);

describe('a CIELAB raster', () => {
  test.each([
    [1, scan8],
    [2, scan16],
    [3, png16],
  ] as const)('at full size is what measuring reads, to half a step (seed %i)', async (seed, scan) => {
    const random = seededRandom(seed);
    for (let n = 0; n < 4; n++) {
      const box: BoxPx = [
        Math.floor(random() * 300),
        Math.floor(random() * 800),
        1 + Math.floor(random() * 119),
        1 + Math.floor(random() * 300),
      ];
      const raster = await readScan(scan.file, box, scan.dpi ?? 0);
      const lab = new Float32Array(raster.data.length);
      pageLab(raster, compileCalibration(CALIBRATION), lab);
      const found = await view.lab(scan, box, box[2]);
      expect([found.columns, found.rows]).toEqual([box[2], box[3]]);
      expect(found.data.length).toBe(lab.length);
      expect(lab.reduce((gap, v, i) => Math.max(gap, Math.abs(v * LAB_RASTER_SCALE - found.data[i])), 0)).toBeLessThan(
        0.55,
      );
    }
  });

  // Between levels, pixels of the level that lie across a border count by share: noise shows that singly, not in the mean.
  test.each([
    [2, 0.03],
    [3, 0.6],
    [5, 0.6],
    [8, 0.03],
  ])('averaged %i to one: the mean of the light, %d off on average', async (side, most) => {
    const [width, height] = [20 * side, 15 * side];
    const found = await view.lab(scan16, [40, 80, width, height], 20);
    expect([found.columns, found.rows]).toEqual([20, 15]);
    const plain = averaged(part(xyz16, [40, 80, width, height]), width, side).flatMap((xyz) => [...xyzToLab(xyz)]);
    const gaps = plain.map((v, i) => Math.abs(found.data[i] / LAB_RASTER_SCALE - v));
    expect(gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length).toBeLessThan(most);
    expect(Math.max(...gaps)).toBeLessThan(4);
  });

  test('no finer than the scan, clipped to it, at least one pixel', async () => {
    const scan = scan16;
    const finer = await view.lab(scan, [10, 10, 7, 5], 400);
    expect([finer.columns, finer.rows]).toEqual([7, 5]);
    const clipped = await view.lab(scan, [-50, 1100, 100, 100], 50);
    expect([clipped.columns, clipped.rows]).toEqual([50, 10]);
    const sliver = await view.lab(scan, [0, 0, 420, 3], 1);
    expect([sliver.columns, sliver.rows]).toEqual([1, 1]);
  });

  test.each<[string, BoxPx, number]>([
    ['beside the scan', [420, 0, 10, 10], 10],
    ['without size', [10, 10, 0, 10], 10],
    ['no number', [NaN, 0, 10, 10], 10],
    ['without columns', [0, 0, 10, 10], 0],
  ])('a box %s: one line', async (_, box, columns) => {
    const scan = scan16;
    await expect(view.lab(scan, box, columns)).rejects.toMatchObject({
      code: 'scan-outside',
      message: expect.stringMatching(/^[^\n]*420 × 1110 px[^\n]*$/),
    });
  });

  test('numbers keep a hundredth of a unit and are held at their ends', () => {
    const out = new Int16Array(6);
    labToRaster(Float32Array.from([50.004, -0.0051, 12.3456, 400, -400, 0]), out);
    expect([...out]).toEqual([5000, -1, 1235, 32767, -32768, 0]);
  });
});

function part(xyz: readonly Xyz[], [left, top, width, height]: BoxPx): Xyz[] {
  return Array.from(
    { length: width * height },
    (_, i) => xyz[(top + Math.floor(i / width)) * WIDTH + left + (i % width)],
  );
}

test('a crop is the same box as a picture', async () => {
  const scan = scan16;
  const box: BoxPx = [233, 444, 121, 77];
  const crop = await decoded(await view.crop(scan, box, 121));
  expect([crop.widthPx, crop.heightPx]).toEqual([121, 77]);
  expect(largestGap(crop, part(xyz16, box), 121, [0, 0])).toBeLessThanOrEqual(1);
});

test('means over areas: shares of pixels count as such, and nothing is lost', () => {
  const data = Float32Array.from([1, 2, 3, 4, 5].flatMap((v) => [v, 10 * v, -v]));
  const out = new Float32Array(6);
  areaMeans(data, 5, 1, { left: 0, top: 0, stepX: 2.5, stepY: 1, columns: 2, rows: 1 }, out);
  [1.8, 18, -1.8, 4.2, 42, -4.2].forEach((v, i) => expect(out[i]).toBeCloseTo(v, 5));
  areaMeans(data, 5, 1, { left: 0.5, top: 0.25, stepX: 0.5, stepY: 0.5, columns: 2, rows: 1 }, out);
  [1, 10, -1, 2, 20, -2].forEach((v, i) => expect(out[i]).toBeCloseTo(v, 5));
});

describe('a probe', () => {
  test.each([
    ['a TIFF of 8 bits', scan8, pixels8],
    ['a TIFF', scan16, pixels16],
    ['a PNG', png16, pixels16],
  ] as const)('%s: exact means of the values as scanned, before and after its pyramid', async (_, known, drawn) => {
    const scan = { ...known, hash: `${known.hash}-probed` };
    const { samples, bits } = drawn;
    for (let again = 0; again < 2; again++) {
      for (const [x, y, radius] of [
        [200.5, 300.5, 12],
        [0, 0, 9],
        [419.9, 1109.9, 5],
        [250, 600, 0],
      ]) {
        const inside: number[] = [];
        for (let v = 0; v < HEIGHT; v++) {
          for (let u = 0; u < WIDTH; u++) {
            if ((u + 0.5 - x) ** 2 + (v + 0.5 - y) ** 2 <= radius * radius) inside.push(v * WIDTH + u);
          }
        }
        if (radius === 0) inside.push(y * WIDTH + x);
        const found = await view.probe(scan, x, y, radius);
        expect(found.pixels).toBe(inside.length);
        expect(found.bits).toBe(bits);
        found.device.forEach((mean, k) =>
          expect(mean).toBeCloseTo(inside.reduce((sum, pixel) => sum + samples[3 * pixel + k], 0) / inside.length, 6),
        );
      }
      await view.tile(scan, 0, 0, 0);
    }
  });

  test('its colour is the mean of the light, with what the calibration leaves open', async () => {
    const scan = scan16;
    const found = await view.probe(scan, 200, 300, 0);
    const lab = xyzToLab(xyz16[300 * WIDTH + 200]);
    lab.forEach((v, k) => expect(Math.abs(found.lab[k] - v)).toBeLessThan(1e-3));
    const of = colourUncertainty(labD50(...found.lab), CALIBRATION);
    found.u?.forEach((u, k) => expect(u).toBeCloseTo(of[k], 6));
    expect(found.u).not.toBeNull();
    expect(found.flags).toEqual([]);
    expect(found.name).toMatch(/[a-z]/);
    const wide = await view.probe(scan, 200, 300, 30);
    const noisier = colourUncertainty(labD50(...wide.lab), CALIBRATION);
    expect(wide.u?.[0]).toBeGreaterThan(noisier[0]);
  });

  test('says what makes it doubtful', async () => {
    const scan = { ...scan16, colours: ASSUMED };
    const plain = await view.probe(scan, 200, 300, 0);
    expect(plain.u).toEqual(colourUncertainty(labD50(...plain.lab), nominalCalibration));
    expect(plain.flags).toEqual(['uncalibrated']);
    const black = await viewScan(
      folder.put('black.tif', drawTiff({ widthPx: 3, heightPx: 3, bits: 16, samples: new Uint16Array(27) })),
      'black',
      { by: 'calibration', key: 'poor', calibration: { ...CALIBRATION, judgement: 'poor' } },
    );
    expect((await view.probe(black, 1, 1, 1)).flags).toEqual(['clipped', 'poor-calibration']);
  });

  test.each([
    [420, 5],
    [-1, 5],
    [NaN, 5],
    [5, 1110],
  ])('at (%d, %d), outside: one line', async (x, y) => {
    await expect(view.probe(scan8, x, y, 3)).rejects.toMatchObject({
      code: 'scan-outside',
      message: expect.stringMatching(/^[^\n]*lies outside[^\n]*420 × 1110 px[^\n]*$/),
    });
  });
});

test('pictures carry no profile that a browser would apply again', async () => {
  const scan = scan16;
  expect((await sharp(await view.tile(scan, 0, 0, 0)).metadata()).icc).toBeUndefined();
});
