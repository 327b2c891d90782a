/** What shading is read from: the two ends, their hues, and how far the figure would scatter, on pixels whose truth is known. */
import { describe, expect, test } from 'vitest';
import { hueDeg, hueDifferenceDeg, labD50, type LabD50, labToXyz } from '../../analysis/colour/lab.ts';
import { shadingStatistic } from '../../analysis/measure/shading.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

const PIXELS = 4000;
/** Pixels that hang together. */
const BLOCK = 50;

function statisticOf(labOf: (pixel: number) => LabD50, seed = 1) {
  const xyz = new Float32Array(3 * PIXELS);
  for (let k = 0; k < PIXELS; k++) xyz.set(labToXyz(labOf(k)), 3 * k);
  const of = Int32Array.from({ length: PIXELS }, (_, k) => Math.floor(k / BLOCK));
  return shadingStatistic(xyz, { of, count: PIXELS / BLOCK }, 0, seed);
}

describe('the ends', () => {
  test('stand at a tenth and nine tenths, by a twentieth of the pixels each: what lies far out does not speak', () => {
    // A long tail towards dark: the mean of the darkest fifth would be 39.1.
    const L = (share: number): number => 60 + 8 * Math.log(share);
    const { dark, light, dL } = statisticOf((k) => labD50(L((k + 0.5) / PIXELS), 0, 0));
    expect(Math.abs(dark[0] - L(0.1))).toBeLessThan(0.15);
    expect(Math.abs(light[0] - L(0.9))).toBeLessThan(0.005);
    expect(dL).toBeCloseTo(light[0] - dark[0], 4);
  });

  test('differ in hue by the angle between them, in the order dark to light; greys have none', () => {
    const [dark, light] = [labD50(40, 10, -40), labD50(60, -5, -30)];
    const between = (share: number) => labD50(40 + 20 * share, 10 - 15 * share, -40 + 10 * share);
    const told = statisticOf((k) => between(k / PIXELS)).dHueDeg ?? NaN;
    expect(told).toBeCloseTo(hueDifferenceDeg(hueDeg(between(0.1)), hueDeg(between(0.9))), 0);
    expect(Math.sign(told)).toBe(Math.sign(hueDifferenceDeg(hueDeg(dark), hueDeg(light))));
    const grey = (at: number) => statisticOf((k) => labD50(40 + (20 * k) / PIXELS, at, 0)).dHueDeg;
    expect([grey(1.8), grey(2.2)]).toEqual([null, expect.closeTo(0, 1)]);
  });
});

test('repeatability is half of what samples drawn anew scatter by, block for block', () => {
  // Blocks of one sample differ; pixels within one hardly do.
  const sample = (seed: number) => {
    const random = seededRandom(seed);
    const levels = Array.from({ length: PIXELS / BLOCK }, () => 50 + 4 * normal(random));
    return statisticOf((k) => labD50(levels[Math.floor(k / BLOCK)] + 0.2 * normal(random), 0, -20), seed);
  };
  const samples = Array.from({ length: 40 }, (_, i) => sample(100 + i));
  const mean = samples.reduce((sum, { dL }) => sum + dL, 0) / samples.length;
  const scatter = Math.sqrt(samples.reduce((sum, { dL }) => sum + (dL - mean) ** 2, 0) / (samples.length - 1));
  const told = samples.reduce((sum, { uRepeat }) => sum + uRepeat.dL, 0) / samples.length;
  expect(told / scatter).toBeGreaterThan(0.35);
  expect(told / scatter).toBeLessThan(0.65);
});
