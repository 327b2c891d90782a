/** A raster's luminance, and what is asked of it. */
import { type CompiledCalibration, signalsToXyz } from '../../calibrate/apply.ts';
import type { Flag } from '../../quantity.ts';
import type { LinearRaster } from '../../raster/raster.ts';

/** Y per pixel, 1 for the perfect diffuser. */
export function luminance(raster: LinearRaster, calibration: CompiledCalibration): Float32Array {
  const xyz = new Float32Array(raster.data.length);
  signalsToXyz(raster.data, calibration, xyz);
  const y = new Float32Array(raster.data.length / 3);
  for (let i = 0; i < y.length; i++) y[i] = xyz[3 * i + 1];
  return y;
}

/** Above 0.5 % of the pixels at an end of the scale. */
export function clippedFlag({ clipped }: LinearRaster): Flag[] {
  let count = 0;
  for (const c of clipped) count += c;
  return count > 0.005 * clipped.length ? ['clipped'] : [];
}

/** Of some forty thousand of them. */
export function medianOf(values: Float32Array): number {
  const some = values.filter((_, i) => i % Math.max(1, Math.floor(values.length / 40_000)) === 0).sort();
  return some[some.length >> 1];
}
