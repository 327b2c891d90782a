import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { homography, invertHomography, mapBox, mapPoint } from '../../analysis/raster/homography.ts';
import type { Point } from '../../analysis/raster/homography.ts';

const square: readonly Point[] = [
  [0, 0],
  [120, 0],
  [120, 50],
  [0, 50],
];

describe('homography', () => {
  it('four points go exactly where they are sent', () => {
    const to: Point[] = [
      [3012.5, 400.1],
      [5800, 911],
      [5433, 2205],
      [2755, 1700],
    ];
    const h = homography(square, to);
    square.forEach((p, i) => {
      expect(mapPoint(h, p)[0]).toBeCloseTo(to[i][0], 8);
      expect(mapPoint(h, p)[1]).toBeCloseTo(to[i][1], 8);
    });
    const back = invertHomography(h);
    expect(mapPoint(back, to[2])[0]).toBeCloseTo(120, 8);
    expect(mapBox(h, [0, 0, 120, 50])).toEqual(square.map((p) => mapPoint(h, p)));
  });

  it('is a known projective map found again from six of its points', () => {
    const truth = [1.2, -0.1, 30, 0.3, 0.9, -12, 4e-4, -2e-4, 1];
    const from: Point[] = [...square, [60, 25], [17, 41]];
    const h = homography(
      from,
      from.map((p) => mapPoint(truth, p)),
    );
    truth.forEach((value, i) => expect(h[i]).toBeCloseTo(value, 8));
  });

  it('a turn, a scale and a shift stay what they are, at any size', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 6.28, noNaN: true }),
        fc.double({ min: 0.01, max: 50, noNaN: true }),
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        (turn, scale, shift) => {
          const move = ([x, y]: Point): Point => [
            scale * (Math.cos(turn) * x - Math.sin(turn) * y) + shift,
            scale * (Math.sin(turn) * x + Math.cos(turn) * y) - shift,
          ];
          const h = homography(square, square.map(move));
          const [x, y] = mapPoint(h, [33, 44]);
          const [u, v] = move([33, 44]);
          expect(Math.hypot(x - u, y - v)).toBeLessThan(1e-6 * scale + 1e-8);
        },
      ),
    );
  });

  it('more points than four average their errors', () => {
    const from: Point[] = Array.from({ length: 40 }, (_, i) => [(i % 8) * 10, Math.floor(i / 8) * 10]);
    const to = from.map(([x, y], i): Point => [2 * x + (i % 2 === 0 ? 0.5 : -0.5), 2 * y]);
    const [x] = mapPoint(homography(from, to), [35, 20]);
    expect(Math.abs(x - 70)).toBeLessThan(1e-9);
  });

  it('points that fix no map are refused in words', () => {
    expect(() => homography(square.slice(0, 3), square.slice(0, 3))).toThrow(/four or more/);
    const line: Point[] = [
      [0, 0],
      [1, 1],
      [2, 2],
      [3, 3],
    ];
    expect(() => homography(line, square)).toThrow(/line/);
    expect(() => homography([square[0], square[0], square[0], square[0]], square)).toThrow(/one place/);
  });
});
