/** What a calibrated target hands on to the film fit: its sound patches, each with its own signal and spectrum. */
import { expect, test } from 'vitest';
import type { PatchReading, TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { linearSignals } from '../../analysis/calibrate/channelCurves.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { onGrid } from '../../analysis/film/grid.ts';
import { targetPatches, taughtSensors } from '../../analysis/measure/film/targetPatches.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { drawScanner } from '../../sample-scans/generator/scanner.ts';
import { drawTarget, TARGET_SIZES } from '../../study/simulatedColours.ts';
import { xyzOf } from '../../study/spectra.ts';
import { deviceOf } from '../../study/unlikeScanners.ts';

const random = seededRandom(77);
const scanner = drawScanner(7);
const patches = drawTarget('colorants', TARGET_SIZES.card, random);
const readings = patches.map(({ id, grey, reflectance }, i): PatchReading => ({
  id,
  grey,
  device: deviceOf(scanner, reflectance),
  sd: [0, 0, 0],
  pixels: 1000,
  clippedShare: i === 40 ? 0.3 : 0,
  centreMm: [0, 0],
}));
const reference: TargetReference = {
  patches: new Map(
    patches.map(({ id, reflectance }) => [
      id,
      { lab: xyzToLab(xyzOf(reflectance)), reflectance: { firstNm: 380, stepNm: 10, values: [...reflectance] } },
    ]),
  ),
};
const layout: TargetLayout = {
  format: 'wetline-target/1',
  name: 'drawn',
  pointsMm: [
    [0, 0],
    [9, 0],
    [9, 9],
    [0, 9],
  ],
  patches: patches.map(({ id, grey }) => ({ id, grey, boxMm: [0, 0, 1, 1] })),
};
const calibration = fitCalibration(readings, reference);
const seen = targetPatches(calibration, layout, reference);

test('a clipped patch is left out, and every other keeps its own signal, grey and spectrum', () => {
  const kept = readings.filter(({ clippedShare }) => clippedShare === 0);
  expect(seen).toHaveLength(kept.length);
  const signals = linearSignals(
    kept.map(({ device }) => ({ device, light: [1, 1, 1] as const })),
    calibration.curves,
  );
  kept.forEach(({ id, grey }, i) => {
    expect(seen[i].signal).toEqual(signals[i]);
    expect(seen[i].grey).toBe(grey);
    expect(seen[i].reflectance).toBe(reference.patches.get(id)!.reflectance);
  });
});

test('spectra of all patches teach the full form; one that lacks makes it the weaker one; a dozen are needed', () => {
  const taught = taughtSensors(seen, calibration.curves)!;
  expect(taught.by).toBe('spectra');
  // What was taught sees the target as the scanner did.
  const { curves, bends } = taught.sensors;
  expect([curves.length, bends.length]).toEqual([108, 3]);
  const off = seen.map(({ signal, reflectance }) => {
    const r = onGrid(reflectance!);
    const green = r.reduce((sum, v, l) => sum + v * curves[36 + l], 0);
    return Math.abs(green - signal[1]);
  });
  expect(off.toSorted((a, b) => a - b)[Math.floor(off.length / 2)]).toBeLessThan(0.001);
  const lacking = seen.map((patch, i) => (i === 3 ? { ...patch, reflectance: null } : patch));
  expect(taughtSensors(lacking, calibration.curves)?.by).toBe('lab');
  expect(taughtSensors(seen.slice(0, 11), calibration.curves)).toBeNull();
}, 60_000);

test('without a target there is nothing to teach', () => {
  expect(targetPatches({ ...calibration, patches: [], signals: [] }, layout, reference)).toEqual([]);
});
