/** The light of the bed is taken out where each pixel really lay, at every level, in tiles, overviews, boxes and probes. */
import { afterAll, expect, test } from 'vitest';
import { join } from 'node:path';
import { lightAt } from '../../analysis/calibrate/flatField.ts';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import { srgbDecode, srgbToXyzD50 } from '../../analysis/colour/srgb.ts';
import { xyzToLab, type Xyz } from '../../analysis/colour/lab.ts';
import { triple } from '../../analysis/triple.ts';
import { View } from '../../electron/view/view.ts';
import { drawTiff } from '../host/drawTiff.ts';
import { testFolder } from '../host/folder.ts';
import { decoded, largestGap, SLOPING_LIGHT, viewScan } from './drawScan.ts';

const folder = testFolder();
const view = new View({ cacheFolder: join(folder.path, 'cache') });
afterAll(() => view.close());

/** Four levels; one grey as scanned, so that all that differs is the light that is taken out. */
const [WIDTH, HEIGHT, DPI, GREY] = [1100, 1300, 1200, 30000];
const calibration: Calibration = { ...nominalCalibration, flatField: { ...SLOPING_LIGHT, halfMm: [14, 15] } };
const scan = await viewScan(
  folder.put(
    'grey.tif',
    drawTiff({ widthPx: WIDTH, heightPx: HEIGHT, bits: 16, samples: new Uint16Array(3 * WIDTH * HEIGHT).fill(GREY) }),
  ),
  'grey',
  { by: 'calibration', key: 'c', calibration },
  DPI,
);

/** The colour at a place of the scan, px. */
function colourAt(x: number, y: number): Xyz {
  const light = (k: number): number =>
    srgbDecode(GREY / 65535) / lightAt(calibration.flatField ?? SLOPING_LIGHT, k, [(x * 25.4) / DPI, (y * 25.4) / DPI]);
  const [r, g, b] = [0, 1, 2].map((k) => srgbToXyzD50(k === 0 ? 1 : 0, k === 1 ? 1 : 0, k === 2 ? 1 : 0));
  return triple((k) => r[k] * light(0) + g[k] * light(1) + b[k] * light(2));
}

/** Colours at the centres of squares of the scan. */
function colours(side: number): { xyz: Xyz[]; width: number } {
  const [width, height] = [Math.ceil(WIDTH / side), Math.ceil(HEIGHT / side)];
  const xyz = Array.from({ length: width * height }, (_, i) =>
    colourAt(((i % width) + 0.5) * side, (Math.floor(i / width) + 0.5) * side),
  );
  return { xyz, width };
}

test('the light really slopes: corners differ by many codes', () => {
  const corners = colours(1);
  expect(Math.abs(corners.xyz[0][1] - corners.xyz[corners.xyz.length - 1][1])).toBeGreaterThan(0.02);
});

test.each([
  [3, 0, 0],
  [3, 4, 5],
  [2, 2, 2],
  [1, 1, 1],
  [0, 0, 0],
])('tile %i / %i / %i', async (level, column, row) => {
  const { xyz, width } = colours(2 ** (3 - level));
  const tile = await decoded(await view.tile(scan, level, column, row));
  expect(largestGap(tile, xyz, width, [256 * column, 256 * row])).toBeLessThanOrEqual(1);
});

test('the overview', async () => {
  const { xyz, width } = colours(2);
  expect(largestGap(await decoded(await view.overview(scan)), xyz, width, [0, 0])).toBeLessThanOrEqual(1);
});

test('a box at a scale between the levels', async () => {
  const { data, columns, rows } = await view.lab(scan, [200, 300, 690, 460], 230);
  expect([columns, rows]).toEqual([230, 153]);
  const stepY = 460 / 153;
  for (const [column, row] of [
    [0, 0],
    [229, 152],
    [100, 77],
  ]) {
    const lab = xyzToLab(colourAt(200 + (column + 0.5) * 3, 300 + (row + 0.5) * stepY));
    for (let k = 0; k < 3; k++) {
      expect(Math.abs(data[3 * (row * columns + column) + k] / LAB_RASTER_SCALE - lab[k])).toBeLessThan(0.03);
    }
  }
});

test('a probe', async () => {
  const found = await view.probe(scan, 1000.5, 1200.5, 3);
  xyzToLab(colourAt(1000.5, 1200.5)).forEach((v, k) => expect(Math.abs(found.lab[k] - v)).toBeLessThan(0.01));
});

test('without a resolution no place is known, and the light is taken as even', async () => {
  const { data } = await decoded(await view.tile({ ...scan, dpi: null }, 3, 0, 0));
  expect(new Set(data).size).toBeLessThanOrEqual(3);
});
