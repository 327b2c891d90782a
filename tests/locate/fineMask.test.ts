/** Ink found by squares and along the edge by pixels, held against every pixel looked at. */
import { describe, expect, test } from 'vitest';
import {
  clearChannel,
  type CoarseInk,
  coarseInk,
  INK_DEFAULTS,
  neutralContrast,
  SMOOTH_PX,
} from '../../analysis/locate/coarseInk.ts';
import { type CoarseRatio, coarseRatio } from '../../analysis/locate/coarseRatio.ts';
import { inkInRatio } from '../../analysis/locate/inkMask.ts';
import { rimLevels } from '../../analysis/locate/rimLevel.ts';
import { gaussianSmooth } from '../../analysis/raster/gaussian.ts';
import { dropSmallComponents } from '../../analysis/raster/smallComponents.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';

const W = 405;
const H = 303;
const NOISE = [0.006, 0.006, 0.006];

/** A wavering stroke with a hole of 3 px in it, a loop's narrow eye, and a speck of dust, 600 dpi. */
function ratioOf(red: number): Float32Array {
  const random = seededRandom(31);
  const ratio = new Float32Array(3 * W * H);
  for (let y = 0; y < H; y++) {
    for (let x = 0; x < W; x++) {
      const stroke = 9 - Math.abs(y - 150 - 60 * Math.sin(x / 40)) / Math.hypot(1, 1.5 * Math.cos(x / 40));
      const ring = 5 - Math.abs(Math.hypot(x - 60, y - 50) - 7.5);
      const hole = Math.hypot(x - 251, y - 150) - 1.6;
      const speck = 1.2 - Math.hypot(x - 350, y - 40);
      const inside = Math.max(Math.min(stroke, hole), ring, speck);
      const ink = Math.min(1, Math.max(0, (inside + 1.5) / 3));
      const i = 3 * (y * W + x);
      for (let c = 0; c < 3; c++) ratio[i + c] = 1 - ink * [red, 0.7, 0.4][c] + 0.02 * (random() - 0.5);
    }
  }
  return ratio;
}

test.each([
  ['a blue ink', 0.9],
  // Leaves red alone, so that shade is told from it.
  ['an ink with a clear channel', 0.02],
])('%s: the pixels are those that all would be, but for a few of its edge', (_, red) => {
  const ratio = ratioOf(red);
  const size = { widthPx: W, heightPx: H, dpi: 600 };
  const found = inkInRatio(ratio, size, NOISE)!;
  const coarse = coarseRatio(ratio, size);
  const plain = everyPixel(coarseInk(coarse, NOISE, INK_DEFAULTS)!, coarse, ratio, found.contrast);
  let differing = 0;
  let ink = 0;
  for (let i = 0; i < W * H; i++) {
    differing += found.mask.data[i] ^ plain[i];
    ink += plain[i];
  }
  expect(ink).toBeGreaterThan(8000);
  expect(differing / ink).toBeLessThan(0.004);
});

/** Each pixel, wherever it lies, against the level of the squares about its own; dust is dropped. */
function everyPixel(found: CoarseInk, coarse: CoarseRatio, ratio: Float32Array, contrast: Float32Array): Uint8Array {
  const { widthPx: w, heightPx: h, step } = coarse;
  const smooth = gaussianSmooth(contrast, W, H, SMOOTH_PX);
  const channel = clearChannel(found.densest, NOISE);
  const levels = rimLevels(found.densest, 1.05 * found.usual);
  const mask = { data: new Uint8Array(W * H), widthPx: W, heightPx: H };
  for (let i = 0; i < W * H; i++) {
    const [x, y] = [Math.min(w - 1, Math.floor((i % W) / step)), Math.min(h - 1, Math.floor(i / W / step))];
    let core = 0;
    for (let v = Math.max(0, y - 3); v <= Math.min(h - 1, y + 3); v++) {
      for (let u = Math.max(0, x - 3); u <= Math.min(w - 1, x + 3); u++) core = Math.max(core, found.smooth[v * w + u]);
    }
    const level = levels.data[Math.min(levels.data.length - 1, Math.round(core * levels.perCore))];
    const neutral = channel ? neutralContrast(ratio, 3 * i, channel) : 0;
    if (smooth[i] - neutral >= Math.max(found.low, level)) mask.data[i] = 1;
  }
  dropSmallComponents(mask, 11);
  return mask.data;
}

/** Signal over paper of strokes 0.4 mm broad, blurred by 0.06 mm, 10 mm square. @param insideMm Of each stroke, how far within it a place lies. @param lost Light that each takes. */
function drawn(dpi: number, insideMm: (xMm: number, yMm: number) => readonly number[], lost: readonly number[]) {
  const pxPerMm = dpi / 25.4;
  const side = Math.round(10 * pxPerMm);
  const random = seededRandom(7);
  const ratio = new Float32Array(3 * side * side);
  const truth = new Uint8Array(side * side);
  for (let i = 0; i < side * side; i++) {
    const inside = insideMm(((i % side) + 0.5) / pxPerMm - 5, (Math.floor(i / side) + 0.5) / pxPerMm - 5);
    if (Math.max(...inside) > 0) truth[i] = 1;
    const light = inside.reduce((rest, mm, k) => rest * (1 - lost[k] / (1 + Math.exp((-1.702 * mm) / 0.06))), 1);
    for (let c = 0; c < 3; c++) ratio[3 * i + c] = light + 0.01 * (random() - 0.5);
  }
  const { data } = inkInRatio(ratio, { widthPx: side, heightPx: side, dpi }, NOISE)!.mask;
  /** Ink pixels missed and pixels found that are none, as shares of the ink, where a place counts. */
  const shares = (counts: (xMm: number, yMm: number) => boolean): { missed: number; extra: number } => {
    let [ink, missed, extra] = [0, 0, 0];
    for (const [i, t] of truth.entries()) {
      if (!counts(((i % side) + 0.5) / pxPerMm - 5, (Math.floor(i / side) + 0.5) / pxPerMm - 5)) continue;
      ink += t;
      missed += t & (1 - data[i]);
      extra += data[i] & (1 - t);
    }
    return { missed: missed / ink, extra: extra / ink };
  };
  return shares;
}

describe.each([300, 600])('strokes keep their sides at %i dpi', (dpi) => {
  test('where two of a pale ink cross at an acute angle', () => {
    const across = (x: number, y: number, turn: number) => 0.2 - Math.abs(x * Math.cos(turn) + y * Math.sin(turn));
    const shares = drawn(dpi, (x, y) => [across(x, y, 0.17), across(x, y, -0.17)], [0.3, 0.3]);
    const { missed, extra } = shares((_, y) => Math.abs(y) < 1.2);
    expect(missed).toBeLessThan(0.02);
    expect(extra).toBeLessThan(0.03);
  });

  test('where a pale one runs beside a dense one', () => {
    const shares = drawn(dpi, (x) => [0.2 - Math.abs(x), 0.2 - Math.abs(x - 0.75)], [0.5, 0.35]);
    const { missed, extra } = shares((x) => x > 0.4);
    expect(missed).toBeLessThan(0.03);
    expect(extra).toBeLessThan(0.03);
  });
});

test('far from ink the distance is told to within a square, near it exactly', () => {
  const { mask, awayPx } = inkInRatio(ratioOf(0.9), { widthPx: W, heightPx: H, dpi: 600 }, NOISE)!;
  const inked = [...mask.data.keys()].filter((i) => mask.data[i] === 1);
  for (let i = 7; i < W * H; i += 1009) {
    if (mask.data[i] === 1) continue;
    const exact = Math.min(...inked.map((p) => Math.hypot((p % W) - (i % W), Math.floor(p / W) - Math.floor(i / W))));
    if (exact > 55) continue;
    expect(Math.abs(awayPx[i] - exact), `pixel ${i}`).toBeLessThan(exact <= 8 ? 1e-4 : 2.1);
  }
});

test('an ink that takes nearly all light ends at more than half of its contrast, a pale one at half', () => {
  const ofInk = (lost: number): number => {
    const { data, perCore } = rimLevels({ lost: [lost, lost, lost], direction: [1 / lost, 0, 0] }, 1.2);
    return data[Math.round(perCore)];
  };
  expect(ofInk(0.05)).toBeCloseTo(0.5, 2);
  expect(ofInk(0.5)).toBeGreaterThan(ofInk(0.05));
  // Half a dose of it shows 0.82 of its contrast.
  expect(ofInk(0.95)).toBeGreaterThan(0.54);
  expect(ofInk(0.95)).toBeLessThan(0.56);
});

test('levels grow with the core and are told up to the densest that counts', () => {
  const { data, perCore } = rimLevels({ lost: [0.9, 0.6, 0], direction: [0.8, 0.45, 0] }, 1.3);
  expect(data).toHaveLength(Math.round(1.3 * perCore) + 1);
  expect(data[0]).toBe(0);
  for (let k = 1; k < data.length; k++) {
    expect(data[k]).toBeGreaterThan(data[k - 1]);
    expect(data[k] / (k / perCore)).toBeGreaterThanOrEqual(0.5);
  }
});

// The 10th and 90th percentile of this fall lie 2 ln 9 / 1.702 of its 0.06 mm apart: 15 px at 2400 dpi, where edges were once followed for 12.
test.each([600, 1200, 2400])('how soft edges are is told in mm at %i dpi', (dpi) => {
  const pxPerMm = dpi / 25.4;
  const side = Math.round(4 * pxPerMm);
  const random = seededRandom(11);
  const ratio = new Float32Array(3 * side * side);
  for (let i = 0; i < side * side; i++) {
    const insideMm = 0.5 - Math.abs((Math.floor(i / side) + 0.5) / pxPerMm - 2);
    const light = 1 - 0.8 / (1 + Math.exp((-1.702 * insideMm) / 0.06));
    for (let c = 0; c < 3; c++) ratio[3 * i + c] = light + 0.01 * (random() - 0.5);
  }
  const { edgeWidthPx } = inkInRatio(ratio, { widthPx: side, heightPx: side, dpi }, NOISE)!;
  const trueMm = ((2 * Math.log(9)) / 1.702) * 0.06;
  // To a tenth: it is told by steps of half a pixel, and at 600 dpi a pixel is a quarter of it.
  expect(Math.abs((edgeWidthPx ?? 0) / pxPerMm / trueMm - 1)).toBeLessThan(0.1);
});
