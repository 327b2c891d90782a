import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import { arrange } from '../../electron/overlays/arrange.ts';
import { lineColourFar } from '../../analysis/colour/lineColour.ts';
import { borderPath, hatchPath, signPlaces } from '../../electron/overlays/markShapes.ts';
import { spreadOut } from '../../electron/overlays/spreadOut.ts';

describe('cards', () => {
  test('keep their order, never overlap and stay within the height', () => {
    const heights = fc.array(fc.integer({ min: 40, max: 400 }), { minLength: 1, maxLength: 40 });
    fc.assert(
      fc.property(heights, (list) => {
        const { places, columns, height } = arrange(list, 800, 16, { width: 900, height: 1000 });
        places.forEach(({ column, y }, i) => {
          expect(y + list[i]).toBeLessThanOrEqual(height);
          expect(column).toBeLessThan(columns);
        });
        const apart = places
          .slice(1)
          .map(({ column, y }, i) => column > places[i].column || y >= places[i].y + list[i] + 16);
        expect(apart).not.toContain(false);
      }),
    );
  });
});

test('twelve alike cards stand in two columns of six beside an upright page', () => {
  const { columns, height } = arrange(Array<number>(12).fill(184), 800, 16, { width: 900, height: 1000 });
  expect([columns, height]).toEqual([2, 6 * 200 - 16]);
});

describe('labels', () => {
  test('never touch, stay within, and lie at their places when these are far apart', () => {
    const wanted = fc.array(fc.float({ min: 0, max: 500, noNaN: true }), { minLength: 1, maxLength: 10 });
    fc.assert(
      fc.property(wanted, (list) => {
        const sorted = list.toSorted((a, b) => a - b);
        const places = spreadOut(sorted, 40, 0, 500)!;
        places.forEach((p) => {
          expect(p - 20).toBeGreaterThanOrEqual(-1e-6);
          expect(p + 20).toBeLessThanOrEqual(500 + 1e-6);
        });
        for (const [i, p] of places.slice(1).entries()) expect(p - places[i]).toBeGreaterThanOrEqual(40 - 1e-6);
      }),
    );
    expect(spreadOut([100, 200, 300], 40, 0, 500)).toEqual([100, 200, 300]);
    expect(spreadOut([200, 210], 40, 0, 500)).toEqual([185, 225]);
    expect(spreadOut([1, 2, 3], 40, 0, 100)).toBeNull();
  });
});

describe('line colour', () => {
  test.each<[string, LabValue[]]>([
    [
      'blue ink on white',
      [
        [32, -3, -41],
        [95, 0, 2],
      ],
    ],
    [
      'yellow ink on yellow',
      [
        [78, 5, 60],
        [88, -8, 50],
      ],
    ],
    [
      'black ink on white',
      [
        [12, 1, -2],
        [95, 0, 2],
      ],
    ],
    ['bare grey paper', [[55, 0, 0]]],
  ])('%s: at least 30 in Lab from all that it crosses', (_, under) => {
    const line = lineColourFar(under);
    for (const lab of under) {
      expect(Math.hypot(line[0] - lab[0], line[1] - lab[1], line[2] - lab[2])).toBeGreaterThan(30);
    }
  });
});

test('where all lightnesses are taken a line stands out by a chroma of 62, and never by more: common practice, no source', () => {
  const greys = Array.from({ length: 21 }, (_, k): [number, number, number] => [5 * k, 0, 0]);
  const [, a, b] = lineColourFar(greys);
  expect(Math.hypot(a, b)).toBeCloseTo(62, 6);
});

/** Left half dark, right half light. */
const halves = (x: number, y: number): number =>
  x < 0 || y < 0 || x >= 60 || y >= 30 ? 0 : x < 30 ? INK_MARKS.dark : INK_MARKS.light;
/** A dark line three pixels high. */
const thin = (x: number, y: number): number => (y >= 10 && y < 13 && x >= 0 && x < 60 ? INK_MARKS.dark : 0);
const square = (x: number, y: number): boolean => x >= 2 && x < 5 && y >= 2 && y < 5;

describe('signs', () => {
  test('lie on their own class, sparse, and clear of the edge', () => {
    const { dark, light, between } = signPlaces(halves, 60, 30, 10, 2);
    expect(between).toEqual([]);
    expect(dark.length).toBeGreaterThan(4);
    expect(dark.every(([x]) => x < 30)).toBe(true);
    expect(light.every(([x]) => x >= 30)).toBe(true);
    const all = [...dark, ...light];
    all.forEach(([x, y], i) => {
      expect(Math.min(x, y, 59 - x, 29 - y)).toBeGreaterThanOrEqual(2);
      for (const [u, v] of all.slice(i + 1)) expect(Math.hypot(x - u, y - v)).toBeGreaterThanOrEqual(10);
    });
  });
  test('do not go into lines thinner than themselves', () => {
    expect(signPlaces(thin, 60, 30, 10, 2).dark).toEqual([]);
    expect(signPlaces(thin, 60, 30, 10, 1).dark.length).toBeGreaterThan(3);
  });
});

describe('shapes', () => {
  test('a border runs once round and only along the border', () => {
    const pieces = borderPath(square, 8, 8, 1).split('M').slice(1);
    // Three pixels a side: two straight pieces each, and four cut corners.
    expect(pieces.length).toBe(12);
    for (const [x, y] of pieces.flatMap((p) => p.split('L').map((end) => end.split(' ').map(Number)))) {
      expect(Math.min(Math.abs(x - 2), Math.abs(x - 5), Math.abs(y - 2), Math.abs(y - 5))).toBe(0);
    }
  });
  test('a hatch stays inside', () => {
    const ends = hatchPath(square, 8, 8, 1, 2)
      .split(/[ML]/)
      .slice(1)
      .map((end) => end.split(' ').map(Number));
    expect(ends.length).toBeGreaterThan(2);
    for (const [x, y] of ends) expect(x >= 2 && x <= 5 && y >= 2 && y <= 5).toBe(true);
  });
});
