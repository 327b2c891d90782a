/** A swab in the box of a writing sample, lines in that of a swab: what is set aside, and what is not. */
import { describe, expect, test } from 'vitest';
import { type Breadth, setOtherBreadthsAside } from '../../analysis/locate/otherBreadths.ts';

/** At 254 dpi: 10 px a millimetre. */
const PX_PER_MM = 10;
const W = 600;
const H = 400;

type Box = readonly [x: number, y: number, width: number, height: number];
type Slanting = { readonly from: readonly [number, number]; readonly length: number; readonly breadth: number };

function maskOf(boxes: readonly Box[], slanting: readonly Slanting[] = []) {
  const data = new Uint8Array(W * H);
  for (const [left, top, width, height] of boxes) {
    for (let y = top; y < top + height; y++) data.fill(1, y * W + left, y * W + left + width);
  }
  for (const { from, length, breadth } of slanting) {
    // At 45°: a row of such a line is √2 times its breadth.
    const row = Math.round(breadth * Math.SQRT2);
    for (let k = 0; k < length / Math.SQRT2; k++) {
      const start = (from[1] + k) * W + from[0] + k;
      data.fill(1, start, start + row);
    }
  }
  return { data, widthPx: W, heightPx: H };
}

/** @returns how many pixels were set aside */
function aside(wanted: Breadth, boxes: readonly Box[], slanting: readonly Slanting[] = []): number {
  const mask = maskOf(boxes, slanting);
  const before = mask.data.slice();
  const found = setOtherBreadthsAside(mask, wanted, PX_PER_MM);
  // Each pixel is kept or set aside, none is both and none is lost.
  expect(before.filter((v, i) => v !== mask.data[i] + (found?.data[i] ?? 0))).toHaveLength(0);
  return found === null ? 0 : found.data.reduce((a, b) => a + b, 0);
}

/** Four lines of 1 mm, 40 mm each. */
const LINES: readonly Box[] = [50, 90, 130, 170].map((y) => [50, y, 400, 10]);
const SWAB: Box = [50, 230, 300, 100];

test('a swab among lines is none of them', () => {
  expect(aside('lines', [...LINES, SWAB])).toBe(300 * 100);
});

test('two samples or a swab alone are what they are', () => {
  expect(aside('lines', LINES)).toBe(0);
  expect(aside('lines', [SWAB])).toBe(0);
  expect(aside('areas', [SWAB])).toBe(0);
  expect(aside('areas', LINES)).toBe(0);
});

test.each([
  ['twice as broad is another nib, or a pool', 20, 0],
  ['more is none of the lines', 22, 22],
])('%s', (_, breadth, rows) => {
  // Rows and columns both count, so that a bar of finite length reads a little less than its breadth.
  expect(aside('lines', [...LINES, [50, 230, 400, breadth]])).toBe(400 * rows);
});

test('a line that slants is no broader for it', () => {
  const slanting = [0, 100, 200].map((x) => ({ from: [50 + x, 200] as const, length: 200, breadth: 17 }));
  expect(aside('lines', LINES, slanting)).toBe(0);
});

test('a blot is too little to matter', () => {
  expect(aside('lines', [...LINES, [50, 230, 22, 22]])).toBe(0);
  expect(aside('lines', [...LINES, [50, 230, 30, 30]])).toBe(900);
});

describe('what the border cuts off along its way is no line', () => {
  const CUT = 15;
  test.each<[string, Box]>([
    ['below', [50, H - CUT, 200, CUT]],
    ['above', [50, 0, 200, CUT]],
    ['to the left', [0, 200, CUT, 150]],
    ['to the right', [W - CUT, 200, CUT, 150]],
  ])('%s', (_, box) => {
    expect(aside('lines', [...LINES, box])).toBe(box[2] * box[3]);
  });

  test('stems that it cuts are as narrow as they were', () => {
    const stems: readonly Box[] = Array.from({ length: 20 }, (_, k) => [50 + 25 * k, H - 60, 12, 60] as const);
    expect(aside('lines', [...LINES, ...stems])).toBe(0);
  });

  test('a rule narrower than the lines stays, and so does what it cuts in many places', () => {
    expect(aside('lines', [...LINES, [50, 0, 400, 8], [50, 20, 400, 8]])).toBe(0);
    const teeth: readonly Box[] = Array.from({ length: 8 }, (_, k) => [0, 220 + 20 * k, 40, 12] as const);
    expect(aside('lines', [...LINES, [28, 220, 12, 160], ...teeth])).toBe(0);
  });

  test('inside the box the same is a broad line', () => {
    expect(aside('lines', [...LINES, [50, 300, 200, CUT]])).toBe(0);
  });
});

test('lines beside a swab are none of it, a dab of the same ink is', () => {
  expect(aside('areas', [SWAB, ...LINES])).toBe(4 * 4000);
  expect(aside('areas', [SWAB, [400, 230, 24, 24], [430, 230, 24, 24], [460, 230, 24, 24]])).toBe(0);
});

test('a smaller swab beside a swab stays', () => {
  expect(aside('areas', [SWAB, [50, 50, 300, 28]])).toBe(0);
});
