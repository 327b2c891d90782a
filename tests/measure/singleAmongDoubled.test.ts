/** Of a disc that was left out about a crossing, what lies once counts again; what the blur of two layers reaches has the colour of the nearest that it does not reach. */
import { expect, test } from 'vitest';
import { addSingleAmongDoubled } from '../../analysis/locate/singleAmongDoubled.ts';

const [W, H] = [60, 40];
const at = (x: number, y: number) => y * W + x;
const map = (inside: (x: number, y: number) => boolean) =>
  Uint8Array.from({ length: W * H }, (_, i) => Number(inside(i % W, Math.floor(i / W))));
const isIn = (x: number, y: number, [left, top, right, bottom]: readonly number[]) =>
  x >= left && x <= right && y >= top && y <= bottom;

const LEFT_OUT = [18, 8, 41, 31] as const;
const CROSSING = [25, 15, 34, 24] as const;
/** Twice nearer to two layers than to one, and ink that pooled. */
const NEARLY_TWO = [20, 28, 22, 30] as const;
const POOLED = [37, 28, 39, 30] as const;
const AT_THE_EDGE = [18, 8, 41, 9] as const;

const added = () => {
  const n = W * H;
  const density = new Float32Array(n).fill(1);
  const depthPx = new Float32Array(n).fill(9);
  for (let y = 0; y < H; y++) {
    for (let x = 0; x < W; x++) {
      if (isIn(x, y, CROSSING)) density[at(x, y)] = 2;
      if (isIn(x, y, NEARLY_TWO)) density[at(x, y)] = 1.6;
      if (isIn(x, y, POOLED)) density[at(x, y)] = 1.4;
      if (isIn(x, y, AT_THE_EDGE)) depthPx[at(x, y)] = 1;
    }
  }
  const ink = {
    mask: { data: new Uint8Array(n).fill(1), widthPx: W, heightPx: H },
    ratio: new Float32Array(3 * n),
    contrast: new Float32Array(n),
    noise: 0.01,
    depthPx,
    awayPx: new Float32Array(n),
    edgeWidthPx: 3,
    otherMarksPx: 0,
  };
  const doubled = map((x, y) => isIn(x, y, LEFT_OUT));
  const interior = map((x, y) => !isIn(x, y, LEFT_OUT));
  const layers = { density, single: () => 1, step: 2 };
  // An edge of 3 px reaches 2 px beyond the two layers.
  const beside = addSingleAmongDoubled(ink, doubled, interior, layers, { edgePx: 3, depth: 2, pxPerMm: 11.8 });
  return { interior, beside };
};

test('pooled ink counts; two layers, what is nearer to them than to one, and the stroke’s own edge do not', () => {
  const { interior } = added();
  const counts = (x: number, y: number) => interior[at(x, y)] === 1;
  expect([counts(38, 29), counts(20, 20)]).toEqual([true, true]);
  expect([counts(30, 20), counts(21, 29), counts(30, 9)]).toEqual([false, false, false]);
});

test('what blur reaches is told apart, each with the nearest of ink that it does not reach', () => {
  const { blurred, nearest, added: all } = added().beside;
  const of = new Map(Array.from(blurred, (pixel, k) => [pixel, nearest[k]]));
  // Straight away from the crossing, whose blur ends two pixels from it.
  expect([of.get(at(24, 20)), of.get(at(23, 20))]).toEqual([at(22, 20), at(22, 20)]);
  expect([of.get(at(30, 26)), of.get(at(30, 25))]).toEqual([at(30, 27), at(30, 27)]);
  expect(of.has(at(22, 20))).toBe(false);
  expect(all).toEqual(expect.arrayContaining([...blurred, at(22, 20)]));
  for (const other of nearest) expect(of.has(other)).toBe(false);
});
