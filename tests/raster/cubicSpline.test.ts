/** A cubic spline passes through its samples, and is exact for quadratics away from the mirrored border (Unser, Aldroubi & Eden 1993). */
import { expect, test } from 'vitest';
import { readAlong, tiledSpline } from '../../analysis/raster/tiledSpline.ts';

/** More than a tile of coefficients each way. */
const [W, H] = [140, 90];

function along(
  of: (x: number, y: number) => number,
  x: number,
  y: number,
  dx: number,
  dy: number,
  count: number,
): Float64Array {
  const samples = Float32Array.from({ length: W * H }, (_, i) => of(i % W, Math.floor(i / W)));
  const out = new Float64Array(count);
  readAlong(tiledSpline(samples, W, H), x, y, dx, dy, out, 0, count);
  return out;
}

test('through every sample of a row, though neighbours jump', () => {
  const jumping = (x: number, y: number): number => ((x * 7 + y * 13) % 11) - 5;
  along(jumping, 2, 9, 1, 0, 30).forEach((v, k) => expect(v).toBeCloseTo(jumping(2 + k, 9), 4));
});

test('and across tiles, to what a coefficient knows of pixels beyond its own tile’s margin', () => {
  const jumping = (x: number, y: number): number => ((x * 7 + y * 13) % 11) - 5;
  const errors = along(jumping, 2, 63, 1, 0, 130).map((v, k) => Math.abs(v - jumping(2 + k, 63)));
  expect(Math.max(...errors)).toBeLessThan(3e-5 * 5);
});

test('a quadratic between its samples, on a slanted line', () => {
  const bowl = (x: number, y: number): number => 0.02 * x * x - 0.03 * x * y + 0.01 * y * y + 0.4 * x - 1;
  along(bowl, 14.3, 12.6, 0.37, 0.21, 20).forEach((v, k) =>
    expect(v).toBeCloseTo(bowl(14.3 + 0.37 * k, 12.6 + 0.21 * k), 3),
  );
});

test('nothing within two pixels of the border', () => {
  expect([...along(() => 1, 0.5, 10, 138, 0, 2)]).toEqual([NaN, NaN]);
});
