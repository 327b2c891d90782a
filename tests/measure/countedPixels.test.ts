import { expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { barePaperFromSurface } from '../../analysis/measure/barePaper.ts';
import { countedPixels } from '../../analysis/measure/countedPixels.ts';
import { INK_MARKS, measureStrokes } from '../../analysis/measure/ink.ts';
import { inkColours, strokeSample } from '../../analysis/measure/inkSample.ts';
import type { Mask } from '../../analysis/raster/raster.ts';
import { draw, flatPaper } from './drawInk.ts';

const W = 600;
const H = 400;

function slanting(): Mask {
  const data = new Uint8Array(W * H);
  for (let y = 0; y < H; y++) for (let x = 0; x < W; x++) if ((x + y) % 40 < 24) data[y * W + x] = 1;
  return { data, widthPx: W, heightPx: H };
}

test('at 300 dpi, and where there are few, every pixel is looked at', () => {
  const mask = slanting();
  const every = mask.data.reduce((a, b) => a + b, 0);
  const { indices, all, stepPx } = countedPixels(mask, 300);
  expect([stepPx, indices.length, all.length]).toEqual([1, every, every]);
  expect([...indices].every((i) => mask.data[i] === 1)).toBe(true);
  const few = { ...mask, data: mask.data.map((v, i) => (i < 60 * W ? v : 0)) };
  expect(countedPixels(few, 1200).stepPx).toBe(1);
});

test('at 600 dpi one pixel of each square stands for it, and no depth below a slanting edge is passed over', () => {
  const mask = slanting();
  const { indices, all, stepPx } = countedPixels(mask, 600);
  expect(stepPx).toBe(2);
  expect(indices.length / all.length).toBeCloseTo(1 / 4, 2);
  const squares = new Set([...indices].map((i) => Math.floor((i % W) / 2) + W * Math.floor(Math.floor(i / W) / 2)));
  expect(squares.size).toBe(indices.length);
  const atDepth = new Float64Array(24);
  for (const i of indices) atDepth[((i % W) + Math.floor(i / W)) % 40] += 24 / indices.length;
  expect(Math.min(...atDepth)).toBeGreaterThan(0.9);
  expect(Math.max(...atDepth)).toBeLessThan(1.1);
  expect(countedPixels(mask, 600).indices).toEqual(indices);
});

test('what is looked at tells the colours of all that counts', () => {
  const paper = [0.85, 0.83, 0.78] as const;
  const signal = draw({
    widthMm: 24,
    heightMm: 16,
    dpi: 600,
    paper,
    absorption: [1.6, 1.1, 0.4],
    lines: [0, 1, 2, 3].map((n) => ({
      fromMm: [2, 2.5 + 3.6 * n] as const,
      toMm: [22, 2 + 3.6 * n] as const,
      widthMm: 2.4,
      dose: (t: number) => 0.6 + 0.9 * t,
    })),
    blurMm: 0.03,
    noise: 0.01,
    fibres: 0.02,
  });
  const calibration = compileCalibration(nominalCalibration);
  const surface = flatPaper(paper, 0.01);
  const bare = barePaperFromSurface(surface, calibration);
  const input = { id: 'wide', signal, calibration, paper: surface, bare, scannerBlurMm: 0.03, scanFlags: [] };
  const sample = strokeSample(input);
  if (!('ink' in sample)) throw new Error(`no ink was found: ${sample.flags.join(' ')}`);
  const { all, stepPx } = sample.counted;
  expect(stepPx).toBe(2);
  const ratio = new Float32Array(3 * all.length);
  all.forEach((i, k) => ratio.set(sample.ink.ratio.subarray(3 * i, 3 * i + 3), 3 * k));
  const whole = xyzToLab(meanOf(inkColours(ratio, bare, input)));
  expect(deltaE2000(xyzToLab(meanOf(sample.xyz)), whole)).toBeLessThan(0.01);

  const { marks } = measureStrokes(input);
  const counts = new Map<number, number>();
  for (const i of all) counts.set(marks![i], (counts.get(marks![i]) ?? 0) + 1);
  // A pixel's square goes by its mark, so that the tenths are tenths of all.
  expect(counts.get(INK_MARKS.dark)! / all.length).toBeCloseTo(0.1, 2);
  expect(counts.get(INK_MARKS.light)! / all.length).toBeCloseTo(0.1, 2);
  expect(counts.get(INK_MARKS.none)).toBeUndefined();
});

function meanOf(xyz: Float32Array): [number, number, number] {
  const sum: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < xyz.length; i++) sum[i % 3] += xyz[i] / (xyz.length / 3);
  return sum;
}
