/** Ink found by squares and along the edge by pixels, held against every pixel looked at. */
import { expect, test } from 'vitest';
import { coarseInk, INK_DEFAULTS } from '../../analysis/locate/coarseInk.ts';
import { inkInRatio } from '../../analysis/locate/inkMask.ts';
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
  const found = inkInRatio(ratio, { widthPx: W, heightPx: H, dpi: 600 }, NOISE)!;
  const plain = coarseInk({ data: ratio, widthPx: W, heightPx: H, dpi: 600, step: 1 }, NOISE, INK_DEFAULTS)!;
  let differing = 0;
  let ink = 0;
  for (let i = 0; i < W * H; i++) {
    differing += found.mask.data[i] ^ plain.mask.data[i];
    ink += plain.mask.data[i];
  }
  expect(ink).toBeGreaterThan(8000);
  expect(differing / ink).toBeLessThan(0.004);
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
