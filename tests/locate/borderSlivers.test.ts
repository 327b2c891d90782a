/** Slivers along a region's border against masks drawn pixel by pixel. */
import { expect, test } from 'vitest';
import { dropBorderSlivers } from '../../analysis/locate/borderSlivers.ts';
import type { Mask } from '../../analysis/raster/raster.ts';

const PX_PER_MM = 12;

function maskOf(...boxes: readonly (readonly [x0: number, y0: number, x1: number, y1: number])[]): Mask {
  const [widthPx, heightPx] = [60, 40];
  const data = new Uint8Array(widthPx * heightPx);
  for (const [x0, y0, x1, y1] of boxes)
    for (let y = y0; y <= y1; y++) data.fill(1, y * widthPx + x0, y * widthPx + x1 + 1);
  return { data, widthPx, heightPx };
}

test.each([
  ['a rule cut off by the upper border', [[5, 0, 59, 1]]],
  [
    'two that meet in a corner',
    [
      [0, 0, 59, 2],
      [0, 0, 2, 39],
    ],
  ],
  ['one along the right border', [[57, 3, 59, 20]]],
] as const)('%s is dropped', (_, boxes) => {
  const mask = maskOf(...boxes);
  const ratio = new Float32Array(3 * mask.data.length).fill(0.5);
  expect(dropBorderSlivers(mask, ratio, PX_PER_MM)).toBe(true);
  expect(mask.data.includes(1)).toBe(false);
  // The pixel in the middle of the region keeps its light.
  expect([ratio.includes(1), ratio[3 * (20 * mask.widthPx + 30)]]).toEqual([true, 0.5]);
});

test('what goes on into the region stays whole, and so does what does not touch the border', () => {
  const mask = maskOf([10, 0, 14, 9], [30, 0, 50, 3], [20, 20, 40, 22]);
  const before = mask.data.slice();
  const ratio = new Float32Array(3 * mask.data.length).fill(0.5);
  expect(dropBorderSlivers(mask, ratio, PX_PER_MM)).toBe(false);
  expect(mask.data).toEqual(before);
});
