/** Threshold, components, distances and skeleton against OpenCV, scikit-image and SciPy (tests/vectors/masks_opencv_skimage.py). */
import { readFileSync } from 'node:fs';
import { inflateSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { components } from '../../analysis/raster/components.ts';
import { distancesFromEdge, distanceToInside, distanceToOutside } from '../../analysis/raster/distance.ts';
import { otsuThreshold } from '../../analysis/raster/otsu.ts';
import type { Mask } from '../../analysis/raster/raster.ts';
import { thin } from '../../analysis/raster/thin.ts';

interface Page {
  readonly image: string;
  readonly otsuOpenCv: number;
  readonly otsuSkimage: number;
  readonly otsuSkimageFloat: number;
  readonly mask: string;
  readonly components: readonly {
    readonly area: number;
    /** First row and column, then those after the last. */
    readonly bbox: readonly [number, number, number, number];
    /** Row and column; a pixel's middle at the whole number. */
    readonly centroid: readonly [number, number];
  }[];
  readonly toOutside: string;
  readonly toInside: string;
  readonly thinned: string;
}

const file: { widthPx: number; heightPx: number; pages: readonly Page[] } = JSON.parse(
  readFileSync(new URL('../vectors/masks_opencv_skimage.json', import.meta.url), 'utf8'),
);
const { widthPx, heightPx, pages } = file;

function bytes(text: string): Uint8Array {
  return Uint8Array.from(inflateSync(Buffer.from(text, 'base64')));
}

function squares(text: string): Uint16Array {
  return new Uint16Array(bytes(text).buffer);
}

function maskOf(page: Page): Mask {
  return { data: bytes(page.mask), widthPx, heightPx };
}

describe.each(pages.map((page, n) => [n + 1, page] as const))('drawn page %i', (_, page) => {
  test('Otsu parts whole levels exactly as OpenCV does', () => {
    const image = Float32Array.from(bytes(page.image));
    // 256 bins over 0 to 255, one a level: both ends are put in, which adds one pixel to each class.
    const threshold = otsuThreshold(Float32Array.from([...image, 0, 255]), 256);
    const dark = image.map((v) => (v < threshold ? 1 : 0));
    expect([...dark]).toEqual([...bytes(page.mask)]);
    expect(page.otsuSkimage).toBe(page.otsuOpenCv);
  });

  test('Otsu with 512 bins lies within a bin of scikit-image', () => {
    const image = Float32Array.from(bytes(page.image), (v) => v / 255);
    const range = image.reduce((a, b) => Math.max(a, b), 0) - image.reduce((a, b) => Math.min(a, b), 1);
    // Levels of 8 bits leave empty bins between them: the middle of such a valley is ours, its lower side theirs.
    const bin = range / 512;
    const away = otsuThreshold(image) - page.otsuSkimageFloat;
    expect(Math.abs(away)).toBeLessThan(bin + 1 / 255);
  });

  test('components are scikit-image’s: area, box, centroid', () => {
    const own = components(maskOf(page)).map(({ area, x0, y0, x1, y1, centroid }) => ({
      area,
      bbox: [y0, x0, y1 + 1, x1 + 1],
      centroid: [centroid[1] - 0.5, centroid[0] - 0.5].map((v) => v.toFixed(9)),
    }));
    const theirs = page.components.map((c) => ({ ...c, centroid: c.centroid.map((v) => v.toFixed(9)) }));
    expect(own).toEqual(theirs);
    expect(own.length).toBeGreaterThan(2);
  });

  test('distances are SciPy’s, to the last square', () => {
    const rounded = (distance: Float32Array) => [...distance].map((d) => Math.round(d * d));
    expect(rounded(distanceToOutside(maskOf(page)))).toEqual([...squares(page.toOutside)]);
    expect(rounded(distanceToInside(maskOf(page)))).toEqual([...squares(page.toInside)]);
    const both = distancesFromEdge(maskOf(page), Infinity);
    expect(rounded(both.depthPx)).toEqual([...squares(page.toOutside)]);
    expect(rounded(both.awayPx)).toEqual([...squares(page.toInside)]);
  });

  test('the skeleton is that of OpenCV’s Guo and Hall', () => {
    const own = thin(maskOf(page)).data;
    const theirs = bytes(page.thinned);
    const differing = own.reduce((n, v, i) => n + (v === theirs[i] ? 0 : 1), 0);
    expect(theirs.reduce((a, b) => a + b, 0)).toBeGreaterThan(150);
    expect(differing).toBe(0);
  });
});
