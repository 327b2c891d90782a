/** Shade and stains over paper that was marked as bare. */
import { expect, test } from 'vitest';
import { shadedPaper } from '../../analysis/measure/shadedPaper.ts';
import { lighterSide } from '../../analysis/measure/twoSidedPaper.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

const PAPER = [0.86, 0.85, 0.82] as const;
const [WIDTH, HEIGHT] = [400, 160];

/** 40 by 16 mm at 254 dpi. @param light Factor by place, mm, and channel. */
function box(light: (xMm: number, yMm: number, c: number) => number, print: Uint8Array | null = null) {
  const random = seededRandom(3);
  const data = new Float32Array(3 * WIDTH * HEIGHT);
  for (let i = 0; i < WIDTH * HEIGHT; i++) {
    const grain = 1 + 0.006 * normal(random);
    for (let c = 0; c < 3; c++) {
      data[3 * i + c] = PAPER[c] * grain * light((i % WIDTH) / 10, Math.floor(i / WIDTH) / 10, c);
    }
  }
  const signal = { data, widthPx: WIDTH, heightPx: HEIGHT, dpi: 254 };
  const found = shadedPaper(signal, print);
  const mean = [0, 0, 0];
  let n = 0;
  for (let i = 0; i < WIDTH * HEIGHT; i++) {
    if (found?.[i]) continue;
    n++;
    for (let c = 0; c < 3; c++) mean[c] += data[3 * i + c];
  }
  const lighter = lighterSide(signal, print)?.map((v, c) => v / PAPER[c]) ?? null;
  return { found, ratio: mean.map((v, c) => v / n / PAPER[c]), lighter };
}

test.each([
  ['a shadow of 6 % over a quarter', (x: number) => 1 - 0.06 / (1 + Math.exp(4 * (x - 10)))],
  ['a fold’s shade', (x: number) => 1 - 0.06 * Math.exp(-0.5 * ((x - 21) / 1.2) ** 2)],
  ['a shadow of 3 % in a corner', (x: number, y: number) => (x < 12 && y < 9 ? 0.97 : 1)],
  ['a pale yellow stain', (x: number, y: number, c: number) => (c === 2 && Math.hypot(x - 20, y - 8) < 5 ? 0.95 : 1)],
])('%s is left out of the paper', (_, light) => {
  const { found, ratio } = box(light);
  expect(found).not.toBeNull();
  for (const v of ratio) expect(Math.abs(v - 1)).toBeLessThan(0.002);
});

test.each([
  ['even light', () => 1],
  ['light that falls off by 5 % across', (x: number) => 1 - (0.05 * x) / 40],
  ['flecks', (x: number, y: number) => (Math.hypot((x % 5) - 2.5, (y % 5) - 2.5) < 0.5 ? 0.9 : 1)],
  ['laid ribs', (x: number) => 1 + 0.02 * Math.sin((2 * Math.PI * x) / 1.2)],
  ['folds every 8 mm, with shade about most of the paper', (x: number) => (x % 8 < 1.8 ? 0.94 : 1)],
] as const)('%s: nothing is left out', (_, light) => {
  expect(box(light).found).toBeNull();
});

test.each([
  ['light that falls off by 8 % across', (x: number) => 1 - (0.08 * x) / 40],
  ['light that is 8 % less at either end', (x: number) => 1 - 0.08 * ((x - 20) / 20) ** 2],
  ['light that is 8 % less at one end', (x: number) => 1 - 0.08 * (x / 40) ** 3],
  [
    'light that is less in all corners',
    (x: number, y: number) => 1 - 0.04 * (((x - 20) / 20) ** 2 + ((y - 8) / 8) ** 2),
  ],
])('%s bends: no shade is told, and no two sides', (_, light) => {
  const { found, lighter } = box(light);
  expect([found, lighter]).toEqual([null, null]);
});

test.each([
  ['a shadow of 2 % over half', (x: number) => 1 - 0.02 / (1 + Math.exp(4 * (x - 20)))],
  ['a soft shadow of 6 % over two thirds', (x: number) => 1 - 0.06 / (1 + Math.exp(1.5 * (x - 27)))],
  ['a yellow stain over two fifths', (x: number, _y: number, c: number) => (c === 2 && x < 16 ? 0.95 : 1)],
])('%s parts the box: its lighter side is told', (_, light) => {
  const { found, lighter } = box(light);
  expect(found).toBeNull();
  for (const v of lighter ?? []) expect(Math.abs(v - 1)).toBeLessThan(0.004);
  expect(lighter).not.toBeNull();
});
