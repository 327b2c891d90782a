/** Light that falls over a target, as its residuals show it. Drawn: 24 patches in 4 rows of 6, the chart that leaves the fewest freedoms. */
import { expect, test } from 'vitest';
import { CAUTION_LIMITS } from '../../analysis/calibrate/cautions.ts';
import { lightDriftOver, lightSlopeOver } from '../../analysis/calibrate/lightDrift.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

/** Told over known Y: the light by place, and what a scanner that is no observer leaves, 3 % from patch to patch. */
function patches(light: (across: number, down: number) => number, seed: number) {
  const random = seededRandom(seed);
  return Array.from({ length: 24 }, (_, i) => {
    const [across, down] = [i % 6, Math.floor(i / 6)];
    const known = 0.1 + 0.03 * i;
    const told = known * light(across / 5, down / 3) * Math.exp(0.03 * normal(random));
    return { placeMm: [42 * across, 42 * down] as const, known, told };
  });
}
const told = (drift: ReturnType<typeof lightSlopeOver>) =>
  drift !== null && drift.F > CAUTION_LIMITS.driftF && drift.range > CAUTION_LIMITS.drift;
const seeds = Array.from({ length: 40 }, (_, i) => 1 + i);

test('a fall by 12 % to one side is told of 24 patches, more often than by five freedoms', () => {
  const fallen = seeds.map((seed) => patches((across) => 1 - 0.12 * across, seed));
  const bySlope = fallen.filter((one) => told(lightSlopeOver(one))).length;
  expect(bySlope).toBeGreaterThan(36);
  expect(bySlope).toBeGreaterThan(fallen.filter((one) => told(lightDriftOver(one))).length);
  const { range } = lightSlopeOver(fallen[0])!;
  expect(range).toBeGreaterThan(0.08);
  expect(range).toBeLessThan(0.2);
});

test('even light is told to fall on none', () => {
  expect(seeds.filter((seed) => told(lightSlopeOver(patches(() => 1, seed))))).toEqual([]);
});

test('a few patches tell nothing', () => {
  expect(lightSlopeOver(patches(() => 1, 1).slice(0, 19))).toBeNull();
});
