/**
 * How far off a scan without a target comes out: untreated scanners read as sRGB, scanners whose driver aims at sRGB read the same way, and
 * scanners read through a profile that their maker made on another specimen.
 */
import type { Calibration } from '../analysis/calibrate/calibration.ts';
import { fitCalibration } from '../analysis/calibrate/fit.ts';
import { nominalCalibration } from '../analysis/calibrate/nominal.ts';
import { inverse3, times } from '../analysis/colour/adapt.ts';
import { srgbEncode, srgbToXyzD50 } from '../analysis/colour/srgb.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { toSignal, type Scanner } from '../sample-scans/generator/scanner.ts';
import { between } from './draw.ts';
import { WAVELENGTHS, xyzOf } from './spectra.ts';
import { anotherDay } from './unlikeScanners.ts';
import { deviceOf, threeScanners, type ScannerFamily } from './unlikeScanners.ts';
import { seenTarget, targetPatches, type Reflectance, type Triple } from './swabWorlds.ts';

export const WAYS = ['untreated, as sRGB', 'driver aims at sRGB', 'maker’s profile'] as const;
export type Way = (typeof WAYS)[number];

export interface Untargeted {
  readonly device: (r: Reflectance) => Triple;
  readonly calibration: Calibration;
}

export function untargeted(seed: number, family: ScannerFamily, way: Way): Untargeted[] {
  const random = seededRandom(seed * 4001 + 7);
  return threeScanners(seed, family).map(({ scanner }, n) => {
    if (way === 'untreated, as sRGB') return { device: (r) => deviceOf(scanner, r), calibration: nominalCalibration };
    if (way === 'driver aims at sRGB')
      return { device: throughDriver(scanner, seed * 3 + n), calibration: nominalCalibration };
    const specimen = anotherSpecimen(scanner, seed * 3 + n);
    const seen = seenTarget(targetPatches(seed + 1, 'photographic', random), (r) => deviceOf(specimen, r), random);
    const { matrix, model, curves } = fitCalibration(seen.readings, seen.reference);
    return { device: (r) => deviceOf(scanner, r), calibration: { ...nominalCalibration, model, matrix, curves } };
  });
}

/** Three by three that makes the scanner's own grey scale and a few mixed spectra look like sRGB, then sRGB's curve with a contrast of its own. */
function throughDriver(scanner: Scanner, seed: number): (r: Reflectance) => Triple {
  const random = seededRandom(seed * 131 + 17);
  // What three broad parts of the spectrum are to the eye and to the scanner fixes the map, as sharp test colours would.
  const parts = [
    [380, 495],
    [495, 585],
    [585, 740],
  ].map(([from, to]) => WAVELENGTHS.map((nm) => (nm >= from && nm < to ? 1 : 0)));
  const eye = parts.map((r) => xyzOf(r));
  const seen = parts.map((r) => toSignal(scanner, r));
  const transposed = (rows: readonly (readonly number[])[]) => [0, 1, 2].map((i) => rows.map((row) => row[i]));
  const back = inverse3(transposed(seen));
  const toXyz = transposed(eye).map((row) => [0, 1, 2].map((j) => row.reduce((sum, v, k) => sum + v * back[k][j], 0)));
  const primaries = transposed([srgbToXyzD50(1, 0, 0), srgbToXyzD50(0, 1, 0), srgbToXyzD50(0, 0, 1)]);
  const toRgb = inverse3(primaries);
  const gain = between(random, 0.94, 1.02);
  const contrast = Math.exp(0.06 * normal(random));
  return (r) => {
    const [x, y, z] = times(toXyz, toSignal(scanner, r));
    const [red, green, blue] = times(toRgb, [x, y, z]).map((v) =>
      srgbEncode(Math.min(1, gain * Math.max(0, v) ** contrast)),
    );
    return [red, green, blue];
  };
}

/** Another of the same make: its filters and lamp differ a little more than one differs from day to day. */
function anotherSpecimen(scanner: Scanner, seed: number): Scanner {
  return anotherDay(anotherDay(anotherDay(scanner, seed), seed + 1), seed + 2);
}
