/** Mean, scatter and clipping of a set of pixels, device values scaled to 0..1. */
import type { DeviceRaster } from '../raster/raster.ts';

export interface TrimmedStatistics {
  /** Per channel, without the share `trim` at either end. */
  readonly mean: readonly [number, number, number];
  /** Per channel, of all the pixels. */
  readonly sd: readonly [number, number, number];
  /** Share of the pixels with any channel at an end of the scale. */
  readonly clippedShare: number;
}

export function trimmedStatistics(scan: DeviceRaster, pixels: readonly number[], trim: number): TrimmedStatistics {
  const top = scan.bits === 8 ? 255 : 65535;
  const values = new Uint16Array(pixels.length);
  const clipped = new Uint8Array(pixels.length);
  const mean: [number, number, number] = [0, 0, 0];
  const sd: [number, number, number] = [0, 0, 0];
  const cut = Math.floor(trim * pixels.length);
  for (let channel = 0; channel < 3; channel++) {
    let sum = 0;
    for (let k = 0; k < pixels.length; k++) {
      const value = scan.data[3 * pixels[k] + channel];
      if (value === 0 || value === top) clipped[k] = 1;
      values[k] = value;
      sum += value;
    }
    const plain = sum / pixels.length;
    let squares = 0;
    for (const value of values) squares += (value - plain) ** 2;
    sd[channel] = Math.sqrt(squares / Math.max(1, pixels.length - 1)) / top;
    values.sort();
    let kept = 0;
    for (let k = cut; k < values.length - cut; k++) kept += values[k];
    mean[channel] = kept / (values.length - 2 * cut) / top;
  }
  return { mean, sd, clippedShare: clipped.reduce((total, c) => total + c, 0) / pixels.length };
}
