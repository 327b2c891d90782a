import { expect, test } from 'vitest';
import { shallowestDepth } from '../../analysis/measure/inkSample.ts';

test('the counted ink begins where its pixels do, not at a few strays', () => {
  const depths = Float32Array.from({ length: 500 }, (_, i) => (i < 3 ? 1 : 2.3 + (i % 7) / 5));
  expect(shallowestDepth(depths)).toBe(2.25);
  // A twentieth of them is no stray.
  depths.fill(1, 0, 25);
  expect(shallowestDepth(depths)).toBe(1);
});

test('one pixel begins where it is', () => {
  expect(shallowestDepth(Float32Array.of(4.1))).toBe(4);
});
