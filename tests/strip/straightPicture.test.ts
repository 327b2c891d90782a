/** The picture of a strip: turned, never mirrored, its millimetres those of the box. */
import { expect, test } from 'vitest';
import { stripView } from '../../analysis/locate/lane.ts';
import { straightPicture } from '../../analysis/measure/strip/straightPicture.ts';
import type { Travel } from '../../analysis/measure/strip/strip.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';

const DPI = 254;
/** 4 × 10 px; every pixel says where it is: x in red, y in green. */
function raster(widthPx: number, heightPx: number): LinearRaster {
  const data = new Float32Array(3 * widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) for (let x = 0; x < widthPx; x++) data.set([x, y, 0], 3 * (y * widthPx + x));
  return { data, widthPx, heightPx, dpi: DPI, originPx: [0, 0], clipped: new Uint8Array(widthPx * heightPx) };
}

const at = (picture: ReturnType<typeof straightPicture>, x: number, y: number) => [
  ...picture.data.subarray(3 * (y * picture.widthPx + x), 3 * (y * picture.widthPx + x) + 2),
];

// Where the picture's top left and top right come from: a quarter or half turn, no mirror.
test.each<[Travel, number, number, number[], number[]]>([
  ['up', 4, 10, [0, 9], [0, 0]],
  ['down', 4, 10, [3, 0], [3, 9]],
  ['right', 10, 4, [0, 0], [9, 0]],
  ['left', 10, 4, [9, 3], [0, 3]],
])('run %s: the liquid goes to the right', (travel, width, height, topLeft, topRight) => {
  const reversed = travel === 'up' || travel === 'left';
  const view = stripView(raster(width, height), travel === 'left' || travel === 'right' ? 'x' : 'y', reversed);
  const toBox = (mm: number) => (reversed ? 1 - mm : mm);
  const picture = straightPicture({ view, toBox, reversed, travel }, 1, 2400);
  expect([picture.widthPx, picture.heightPx]).toEqual([10, 4]);
  expect(at(picture, 0, 0)).toEqual(topLeft);
  expect(at(picture, 9, 0)).toEqual(topRight);
});

test('a strip that straightening made longer than its box is shown by the box’s millimetres', () => {
  const view = stripView(raster(4, 20), 'y', false);
  // 2 mm along the strip are 1 mm of the box.
  const picture = straightPicture({ view, toBox: (mm) => mm / 2, reversed: false, travel: 'down' }, 1, 2400);
  expect(picture.widthPx).toBe(10);
  expect(picture.lengthMm).toBe(1);
  [0, 3, 5, 9].forEach((x) => expect(Math.abs(at(picture, x, 0)[1] - (2 * x + 0.5))).toBeLessThanOrEqual(0.5));
});

test('a large one is averaged down', () => {
  const view = stripView(raster(4, 20), 'y', false);
  const picture = straightPicture({ view, toBox: (mm) => mm, reversed: false, travel: 'down' }, 2, 10);
  expect([picture.widthPx, picture.heightPx]).toEqual([10, 2]);
  expect(at(picture, 3, 1)).toEqual([0.5, 6.5]);
});
