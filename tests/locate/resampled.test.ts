/** Pixels computed from others are known by the rhythm of their roughness, whatever the paper; what was scanned is never taken for it. */
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { isResampled, LEAST_STRIP_PX, resampledRatio } from '../../analysis/locate/resampled.ts';
import { gaussianSmooth } from '../../analysis/raster/gaussian.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

const SIDE = 540;

/** Paper: fibres that the scanner's blur has smoothed, noise of single pixels, and what `more` adds. */
function paper(more: (x: number, y: number) => number = () => 0): DeviceRaster {
  const random = seededRandom(7);
  const fibres = gaussianSmooth(
    Float32Array.from({ length: SIDE * SIDE }, () => 1500 * normal(random)),
    SIDE,
    SIDE,
    1.2,
  );
  const data = new Uint16Array(3 * SIDE * SIDE);
  fibres.forEach((fibre, p) => {
    const value = 52_000 + fibre + 90 * normal(random) + more(p % SIDE, Math.floor(p / SIDE));
    data.fill(Math.round(value), 3 * p, 3 * p + 3);
  });
  return { data, widthPx: SIDE, heightPx: SIDE, bits: 16, dpi: 300, originPx: [0, 0] };
}

/** Interpolated at source places: between two pixels by their nearness, or as the nearer one. */
function mapped(
  { data, ...raster }: DeviceRaster,
  placeOf: (x: number, y: number) => readonly [number, number],
  isNearest = false,
): DeviceRaster {
  const out = new Uint16Array(data.length);
  const at = (x: number, y: number) =>
    data[3 * (Math.min(SIDE - 1, Math.max(0, y)) * SIDE + Math.min(SIDE - 1, Math.max(0, x)))];
  for (let p = 0; p < SIDE * SIDE; p++) {
    const [sx, sy] = placeOf((p % SIDE) - SIDE / 2, Math.floor(p / SIDE) - SIDE / 2);
    const [x, y] = [sx + SIDE / 2, sy + SIDE / 2];
    const [x0, y0] = [Math.floor(x), Math.floor(y)];
    const [fx, fy] = isNearest ? [Math.round(x - x0), Math.round(y - y0)] : [x - x0, y - y0];
    const upper = at(x0, y0) * (1 - fx) + at(x0 + 1, y0) * fx;
    const lower = at(x0, y0 + 1) * (1 - fx) + at(x0 + 1, y0 + 1) * fx;
    out.fill(Math.round(upper * (1 - fy) + lower * fy), 3 * p, 3 * p + 3);
  }
  return { ...raster, data: out };
}

/** Three times in each tile, as no two grids do that slide past each other. */
function swelling(): DeviceRaster {
  const random = seededRandom(9);
  return paper((x) => 250 * normal(random) * (1 + 0.3 * Math.cos((2 * Math.PI * 3 * x) / 256)));
}

const resized = (factor: number, isNearest = false) =>
  mapped(paper(), (x, y) => [(x + 0.25) / factor, (y + 0.25) / factor], isNearest);

function turned(degrees: number): DeviceRaster {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return mapped(paper(), (x, y) => [0.96 * (cos * x + sin * y), 0.96 * (cos * y - sin * x)]);
}

describe('of computed pixels', () => {
  test.each([0.9, 1.1, 1.5, 2])('a page resized to %f of itself', (factor) => {
    expect(isResampled(resized(factor))).toBe(true);
  });
  test('by the nearest pixel', () => expect(isResampled(resized(1.5, true))).toBe(true));
  test('a page turned by 3°', () => expect(isResampled(turned(3))).toBe(true));
});

describe('as scanned', () => {
  test.each([
    ['paper', paper()],
    ['lines of ink', paper((x, y) => ((x + y / 9) % 60 < 9 ? -30_000 : 0))],
    ['a printed screen', paper((x, y) => 1200 * Math.cos(2.1 * x) * Math.cos(2.1 * y))],
    ['a sensor whose columns differ', paper((x) => 300 * Math.sin(x ** 2))],
    ['noise that swells and ebbs along the page', swelling()],
  ])('%s', (_, page) => expect(isResampled(page)).toBe(false));

  test.each([60, 90])('a JPEG of quality %i', async (quality) => {
    const page = Uint8Array.from(paper().data, (v) => v / 257);
    const jpeg = await sharp(page, { raw: { width: SIDE, height: SIDE, channels: 3 } })
      .jpeg({ quality })
      .toBuffer();
    const data = new Uint8Array(await sharp(jpeg).raw().toBuffer());
    expect(isResampled({ ...paper(), data, bits: 8 })).toBe(false);
  });
});

test('untouched paper reaches a third of what would tell, so that no clear line is lost', () => {
  expect(resampledRatio(paper())).toBeGreaterThan(0.33);
});

test('nothing is told below 200 dpi', () => {
  const page = resized(1.5);
  expect([199, 200].map((dpi) => isResampled({ ...page, dpi }))).toEqual([false, true]);
});

test('nothing is told of too small a strip, of hardly any paper between lines of ink, or of values without any noise', () => {
  expect(resampledRatio(paper((x) => (x % 12 < 2 ? -20_000 : 0)))).toBeNull();
  expect(resampledRatio({ ...paper(), heightPx: LEAST_STRIP_PX - 1 })).toBeNull();
  const { data, ...even } = paper();
  expect(resampledRatio({ ...even, data: data.fill(40_000) })).toBeNull();
});
