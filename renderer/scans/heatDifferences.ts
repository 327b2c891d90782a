/** ΔE00 of every pixel of a Lab raster against one colour. Runs in the worker; here so that it can be tested without one. */
import { deltaE2000Array } from '../../analysis/colour/labArrays.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import type { LabValue } from '../../analysis/quantity.ts';

/** The raster's whole numbers as Lab. */
export function labOfRaster(data: Int16Array): Float32Array<ArrayBuffer> {
  // A plain loop: Float32Array.from with a function takes a hundred times as long.
  const lab = new Float32Array(data.length);
  for (let i = 0; i < data.length; i++) lab[i] = data[i] / LAB_RASTER_SCALE;
  return lab;
}

/** @param out one value a pixel, used again while a pinned colour is dragged. */
export function heatDifferences(lab: Float32Array, [L, a, b]: LabValue, out: Float32Array): void {
  deltaE2000Array(lab, labD50(L, a, b), out);
}
