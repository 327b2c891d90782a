import { expect, test } from 'vitest';
import { discBlurPx } from '../../analysis/locate/discBlur.ts';
import { gaussianSmooth } from '../../analysis/raster/gaussian.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';

/** A dark disc on white, 8 × 8 samples a pixel, blurred by a Gaussian. */
function disc(blurPx: number, eyePx: number): LinearRaster {
  const size = 80;
  const plane = new Float32Array(size * size);
  for (let i = 0; i < plane.length; i++) {
    for (let s = 0; s < 64; s++) {
      const r = Math.hypot(
        (i % size) + ((s % 8) + 0.5) / 8 - 40.3,
        Math.floor(i / size) + (Math.floor(s / 8) + 0.5) / 8 - 39.6,
      );
      plane[i] += (r < 25 && r > eyePx ? 0.04 : 0.86) / 64;
    }
  }
  const blurred = gaussianSmooth(plane, size, size, blurPx);
  const data = new Float32Array(3 * plane.length);
  for (let i = 0; i < data.length; i++) data[i] = blurred[Math.floor(i / 3)];
  return { data, widthPx: size, heightPx: size, dpi: 300, originPx: [0, 0], clipped: new Uint8Array(plane.length) };
}

test.each([
  [0.7, 0],
  [1.2, 0],
  [1.2, 10],
  [2, 10],
])('a rim blurred by %f px (light eye of %i px) is found again with the pixel’s own square in it', (blurPx, eyePx) => {
  const found = discBlurPx(disc(blurPx, eyePx), 40.3, 39.6, 25);
  expect(found).not.toBeNull();
  // A pixel's square has a standard deviation of 1/√12.
  expect(Math.abs(found! / Math.hypot(blurPx, 1 / Math.sqrt(12)) - 1)).toBeLessThan(0.12);
});

test('a disc that is cut off or not there tells nothing', () => {
  expect(discBlurPx(disc(1, 0), 2, 2, 25)).toBeNull();
  const white = disc(1, 0);
  white.data.fill(0.8);
  expect(discBlurPx(white, 40.3, 39.6, 25)).toBeNull();
});
