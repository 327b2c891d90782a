/** How a scanner has changed: exact maps, and fits of made-up targets before and after a known change. */
import { describe, expect, test } from 'vitest';
import type { ToneCurve } from '../../analysis/calibrate/calibration.ts';
import { type ColourMap, driftBetween, type DriftReading } from '../../analysis/calibrate/drift.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { madeUpTarget, type MadeUpOptions } from './madeUpTarget.ts';

/** Straight: device values are linear signals times `gain`. */
function curveOf(gain: number): ToneCurve {
  const device = [0, 0.25, 0.5, 0.75, 1];
  return { device, linear: device.map((v) => gain * v), exponent: 1, flare: 0 };
}

function mapOf(gains: readonly [number, number, number]): ColourMap {
  return {
    model: 'linear',
    curves: [curveOf(gains[0]), curveOf(gains[1]), curveOf(gains[2])],
    matrix: [
      [0.52, 0.31, 0.134],
      [0.27, 0.68, 0.05],
      [0.02, 0.09, 0.715],
    ],
  };
}

const EVEN = [1, 1, 1] as const;
const patches: DriftReading[] = [
  [0.9, 0.9, 0.9],
  [0.4, 0.4, 0.4],
  [0.8, 0.2, 0.2],
  [0.2, 0.7, 0.3],
  [0.2, 0.3, 0.8],
].map(([r, g, b]) => ({ device: [r, g, b], light: EVEN }));

describe('by exact maps', () => {
  test('a scanner that did not change has not drifted', () => {
    const drift = driftBetween(mapOf(EVEN), mapOf(EVEN), patches);
    expect(drift).toEqual({ medianDE00: 0, largestDE00: 0, brighter: [1, 1, 1], restDE00: 0 });
  });

  test('each channel’s brightness comes back, and explains all', () => {
    // The same device value stands for less light now: the scanner has become brighter.
    const drift = driftBetween(mapOf(EVEN), mapOf([1 / 1.03, 1 / 1.01, 1 / 0.98]), patches);
    [1.03, 1.01, 0.98].forEach((factor, c) => expect(drift?.brighter[c]).toBeCloseTo(factor, 6));
    expect(drift?.restDE00).toBeLessThan(1e-6);
    expect(drift?.medianDE00).toBeGreaterThan(0.5);
    expect(drift?.largestDE00).toBeGreaterThanOrEqual(drift?.medianDE00 ?? Infinity);
  });

  test('a change of tone is left when brightness is told', () => {
    const steeper = { ...curveOf(1), linear: [0, 0.2, 0.45, 0.72, 1] };
    const drift = driftBetween(mapOf(EVEN), { ...mapOf(EVEN), curves: [steeper, steeper, steeper] }, patches);
    expect(drift?.restDE00).toBeGreaterThan(1.5);
  });

  test('the light at a patch’s place counts for both', () => {
    const dim = patches.map(({ device: [r, g, b] }): DriftReading => {
      return { device: [0.8 * r, 0.8 * g, 0.8 * b], light: [0.8, 0.8, 0.8] };
    });
    const [there, here] = [patches, dim].map((readings) => driftBetween(mapOf(EVEN), mapOf([0.97, 0.99, 1]), readings));
    expect(here?.medianDE00).toBeCloseTo(there?.medianDE00 ?? NaN, 9);
  });

  test('three patches tell nothing', () => {
    expect(driftBetween(mapOf(EVEN), mapOf(EVEN), patches.slice(0, 3))).toBeNull();
  });
});

describe('by fits', () => {
  const fitOf = (options: MadeUpOptions) => {
    const { readings, reference } = madeUpTarget(options);
    return { readings, map: fitCalibration(readings, reference) };
  };

  test.each<[string, MadeUpOptions, readonly [number, number, number]]>([
    ['2 % brighter', { exposure: 0.9 * 1.02 }, [1.02, 1.02, 1.02]],
    ['red 3 % brighter', { spoil: ([r, g, b]) => [1.03 * r, g, b] }, [1.03, 1, 1]],
    ['blue 4 % darker, greys tinted', { tint: [1.5, -2], spoil: ([r, g, b]) => [r, g, 0.96 * b] }, [1, 1, 0.96]],
  ])('%s', (_, change, expected) => {
    const before = fitOf({ exposure: 0.9, tint: change.tint ?? [0, 0] });
    const now = fitOf({ exposure: 0.9, ...change });
    const drift = driftBetween(
      before.map,
      now.map,
      now.readings.map(({ device }) => ({ device, light: EVEN })),
    );
    expected.forEach((factor, c) => expect(Math.abs((drift?.brighter[c] ?? 0) - factor)).toBeLessThan(1e-5));
    expect(drift?.restDE00).toBeLessThan(1e-4);
  });
});
