import { expect, test } from 'vitest';
import { clippedFlag, medianOf } from '../../analysis/measure/showThrough/light.ts';

/** 1000 pixels, of which the first so many lie at an end of the scale. */
const raster = (clipped: number) => ({
  data: new Float32Array(3000),
  widthPx: 100,
  heightPx: 10,
  dpi: 300,
  originPx: [0, 0] as const,
  clipped: Uint8Array.from({ length: 1000 }, (_, i) => (i < clipped ? 1 : 0)),
});

test('a half per cent of clipped pixels is no flaw, more is', () => {
  expect(clippedFlag(raster(5))).toEqual([]);
  expect(clippedFlag(raster(6))).toEqual(['clipped']);
});

test('the median is that of numbers, whatever their order', () => {
  expect(medianOf(Float32Array.of(100, 9, 10))).toBe(10);
});
