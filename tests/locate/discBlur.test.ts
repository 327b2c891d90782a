import { expect, test } from 'vitest';
import { discRim } from '../../analysis/locate/discBlur.ts';
import { gaussianSmooth } from '../../analysis/raster/gaussian.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';

/** A dark disc on white, 8 × 8 samples a pixel, blurred by a Gaussian. */
function disc(blurPx: number, eyePx: number, dpi = 300): LinearRaster {
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
  return { data, widthPx: size, heightPx: size, dpi, originPx: [0, 0], clipped: new Uint8Array(plane.length) };
}

test.each([
  [0.7, 0],
  [1.2, 0],
  [1.2, 10],
  [2, 10],
])('a rim blurred by %f px (light eye of %i px) is found again with the pixel’s own square in it', (blurPx, eyePx) => {
  const found = discRim(disc(blurPx, eyePx), 40.3, 39.6, 25);
  expect(found).not.toBeNull();
  expect(found!.overshoot).toBeLessThan(0.002);
  // A pixel's square has a standard deviation of 1/√12.
  expect(Math.abs(found!.sigmaPx / Math.hypot(blurPx, 1 / Math.sqrt(12)) - 1)).toBeLessThan(0.12);
});

test.each([
  [2, 600],
  [3, 1200],
])('a blur of %f px at %i dpi, as wide as a scanner’s in mm, is found to its whole breadth', (blurPx, dpi) => {
  const found = discRim(disc(blurPx, 0, dpi), 40.3, 39.6, 25);
  expect(Math.abs(found!.sigmaPx / Math.hypot(blurPx, 1 / Math.sqrt(12)) - 1)).toBeLessThan(0.03);
});

/** As a scanner's driver does it: device values of gamma 2.2 plus a share of what they differ from their blurred selves by. */
function sharpened(raster: LinearRaster, amount: number, maskPx: number): LinearRaster {
  const { widthPx: w, heightPx: h } = raster;
  const device = Float32Array.from({ length: w * h }, (_, i) => raster.data[3 * i] ** (1 / 2.2));
  const mask = gaussianSmooth(device, w, h, maskPx);
  const data = Float32Array.from({ length: 3 * w * h }, (_, i) => {
    const p = Math.floor(i / 3);
    return Math.max(0, device[p] + amount * (device[p] - mask[p])) ** 2.2;
  });
  return { ...raster, data };
}

test.each([
  [0.8, 1],
  [0.5, 1.5],
  [0.8, 1.5],
])('sharpened by %f of a mask of %f px, the paper about the disc is told to be too light', (amount, maskPx) => {
  const scan = sharpened(disc(1, 0), amount, maskPx);
  // What the scan shows along one radius to the right of the disc, over the step from 0.04 to 0.86.
  const along = Array.from({ length: 12 }, (_, k) => scan.data[3 * (39 * 80 + 62 + k)]);
  const shown = (Math.max(...along) - 0.86) / 0.82;
  const { overshoot } = discRim(scan, 40.3, 39.6, 25)!;
  expect(shown).toBeGreaterThan(0.01);
  expect(Math.abs(overshoot / shown - 1)).toBeLessThan(0.25);
});

test('a disc that is cut off or not there tells nothing', () => {
  expect(discRim(disc(1, 0), 2, 2, 25)).toBeNull();
  const white = disc(1, 0);
  white.data.fill(0.8);
  expect(discRim(white, 40.3, 39.6, 25)).toBeNull();
});
