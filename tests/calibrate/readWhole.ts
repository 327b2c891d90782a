/** A target's readings off a raster that is held whole: one band. */
import type { PatchReading, SurroundReading, TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { type BandReader, patchReader, surroundReader } from '../../analysis/calibrate/readPatches.ts';
import type { Homography } from '../../analysis/raster/homography.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';

export function readPatches(scan: DeviceRaster, layout: TargetLayout, toPx: Homography): PatchReading[] {
  return readWhole(scan, patchReader(scan, layout, toPx));
}

export function readSurround(scan: DeviceRaster, layout: TargetLayout, toPx: Homography): SurroundReading[] {
  return readWhole(scan, surroundReader(scan, layout, toPx));
}

function readWhole<T>(scan: DeviceRaster, reader: BandReader<T>): T {
  reader.take(scan);
  return reader.done();
}
