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
import { decoded, largestGap, type Picture, SLOPING_LIGHT, viewScan } from './drawScan.ts';

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

/** Colours at the centres of squares of the scan, as many as a picture shows from its first one on. */
const colours = (side: number, { widthPx, heightPx }: Picture, [left, top]: readonly [number, number]): Xyz[] =>
  Array.from({ length: widthPx * heightPx }, (_, i) =>
    colourAt((left + (i % widthPx) + 0.5) * side, (top + Math.floor(i / widthPx) + 0.5) * side),
  );

test('the light really slopes: corners differ by many codes', () => {
  expect(Math.abs(colourAt(0.5, 0.5)[1] - colourAt(WIDTH - 0.5, HEIGHT - 0.5)[1])).toBeGreaterThan(0.02);
});

test.each([
  [3, 0, 0],
  [3, 4, 5],
  [2, 2, 2],
  [1, 1, 1],
  [0, 0, 0],
])('tile %i / %i / %i', async (level, column, row) => {
  const tile = await decoded(await view.tile(scan, level, column, row));
  const truth = colours(2 ** (3 - level), tile, [256 * column, 256 * row]);
  expect(largestGap(tile, truth, tile.widthPx, [0, 0])).toBeLessThanOrEqual(1);
});

test('the overview', async () => {
  const overview = await decoded(await view.overview(scan));
  expect([overview.widthPx, overview.heightPx]).toEqual([WIDTH / 2, HEIGHT / 2]);
  expect(largestGap(overview, colours(2, overview, [0, 0]), overview.widthPx, [0, 0])).toBeLessThanOrEqual(1);
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
