/** What blur took from thin lines and brought from two layers beside is undone where it is asked, and nowhere else. */
import { expect, test } from 'vitest';
import { putBack, takeNearest, unblur, unblurredBy } from '../../analysis/measure/undoBlur.ts';

/** Light over paper's of three pixels, three channels each; exact in single precision. */
const RATIO = [0.5, 0.75, 0.875, 0.25, 0.5, 0.75, 1, 0.625, 0.375];

test('a line that kept half of its contrast has twice what is seen', () => {
  const ratio = Float32Array.from(RATIO);
  unblur(ratio, Int32Array.of(0, 2), (pixel) => (pixel === 0 ? 0.5 : 1));
  expect([...ratio]).toEqual([0, 0.5, 0.75, ...RATIO.slice(3)]);
});

test('the same of pixels that were gathered, in the order of their indices', () => {
  const gathered = Float32Array.from(RATIO.slice(0, 6));
  const out = unblurredBy(gathered, Int32Array.of(7, 4), (pixel) => (pixel === 7 ? 0.5 : 1));
  expect([...out]).toEqual([0, 0.5, 0.75, 0.25, 0.5, 0.75]);
  expect([...gathered]).toEqual(RATIO.slice(0, 6));
});

test('a pixel beside two layers takes the colour of another until its own is put back', () => {
  const ratio = Float32Array.from(RATIO);
  const pixels = Int32Array.of(2, 0);
  const were = takeNearest(ratio, pixels, Int32Array.of(1, 1));
  const other = RATIO.slice(3, 6);
  expect([...ratio]).toEqual([...other, ...other, ...other]);
  putBack(ratio, pixels, were);
  expect([...ratio]).toEqual(RATIO);
});
