/** Work on parts of rows gives what work on all of them does. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { distanceToInside, distancesFromEdge } from '../../analysis/raster/distance.ts';
import type { Mask } from '../../analysis/raster/raster.ts';
import { setOfRow, spansOfSquares } from '../../analysis/raster/spans.ts';
import { squareMeans } from '../../analysis/raster/squareSums.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';

const SIDE = 2;
const NEAR_PX = 3;
/** Both pixels off their squares' middles and left over at the raster's end. */
const REACH = NEAR_PX / SIDE + 4;

/** A few blots on a raster whose squares do not fit it. */
const blots = fc
  .tuple(fc.integer({ min: 20, max: 61 }), fc.integer({ min: 20, max: 47 }), fc.integer())
  .map(([w, h, seed]): Mask => {
    const random = seededRandom(seed);
    const data = new Uint8Array(w * h);
    for (let n = 0; n < 3; n++) {
      const [cx, cy, r] = [w * random(), h * random(), 1 + 5 * random()];
      data.forEach((_, i) => {
        if (Math.hypot((i % w) - cx, Math.floor(i / w) - cy) < r) data[i] = 1;
      });
    }
    return { data, widthPx: w, heightPx: h };
  });

/** 1 where any pixel of the square is; the last ones have what is left over. */
function squaresOf({ data, widthPx, heightPx }: Mask): Mask {
  const [w, h] = [Math.floor(widthPx / SIDE), Math.floor(heightPx / SIDE)];
  const squares = new Uint8Array(w * h);
  data.forEach((d, i) => {
    const x = Math.min(w - 1, Math.floor((i % widthPx) / SIDE));
    const y = Math.min(h - 1, Math.floor(i / widthPx / SIDE));
    if (d === 1) squares[y * w + x] = 1;
  });
  return { data: squares, widthPx: w, heightPx: h };
}

describe('spans', () => {
  test('distances looked for near the ink alone are those of the whole raster', () => {
    fc.assert(
      fc.property(blots, (mask) => {
        const { widthPx, heightPx } = mask;
        const squares = squaresOf(mask);
        const near = spansOfSquares(distanceToInside(squares), squares, REACH, SIDE, widthPx);
        const far = (): Float32Array => new Float32Array(widthPx * heightPx).fill(99);
        const all = distancesFromEdge(mask, NEAR_PX, far());
        const some = distancesFromEdge(mask, NEAR_PX, far(), near);
        expect([...some.depthPx].join(' ')).toBe([...all.depthPx].join(' '));
        expect([...some.awayPx].join(' ')).toBe([...all.awayPx].join(' '));
      }),
      { numRuns: 25, seed: 12 },
    );
  });

  test('hold the squares below a level and what is left over beside the last of them', () => {
    const near = spansOfSquares(Float32Array.of(1, 5, 5, 2, 5, 5, 5, 5), { widthPx: 4, heightPx: 2 }, 3, 2, 9);
    const ofRow = (y: number): number[] => {
      const set = setOfRow(near, y);
      return [...near.edges.subarray(near.sets[set], near.sets[set + 1])];
    };
    expect([0, 1, 2, 4].map(ofRow)).toEqual([[0, 2, 6, 9], [0, 2, 6, 9], [], []]);
  });
});

describe('means of squares', () => {
  test.each([1, 2, 3, 4])('of side %i are those of their pixels', (side) => {
    const random = seededRandom(side);
    const [widthPx, heightPx] = [13, 11];
    const data = Float32Array.from({ length: 3 * widthPx * heightPx }, random);
    const means = squareMeans(data, { widthPx, heightPx }, side);
    expect([means.widthPx, means.heightPx]).toEqual([Math.floor(13 / side), Math.floor(11 / side)]);
    means.data.forEach((mean, k) => {
      const square = Math.floor(k / 3);
      const [left, top] = [side * (square % means.widthPx), side * Math.floor(square / means.widthPx)];
      let sum = 0;
      for (let y = top; y < top + side; y++)
        for (let x = left; x < left + side; x++) sum += data[3 * (y * widthPx + x) + (k % 3)];
      expect(mean).toBeCloseTo(sum / (side * side), 6);
    });
  });
});
