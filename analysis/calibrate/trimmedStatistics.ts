/** Mean, scatter and clipping of a set of pixels, device values scaled to 0..1. */

export interface TrimmedStatistics {
  /** Per channel, without the share `trim` at either end. */
  readonly mean: readonly [number, number, number];
  /** Per channel, of all the pixels. */
  readonly sd: readonly [number, number, number];
  /** Share of the pixels with any channel at an end of the scale. */
  readonly clippedShare: number;
}

/** @param pixels Device values, three a pixel. @param top The end of their scale, 255 or 65535. */
export function trimmedStatistics(pixels: Uint16Array, top: number, trim: number): TrimmedStatistics {
  const count = pixels.length / 3;
  const values = new Uint16Array(count);
  const clipped = new Uint8Array(count);
  const mean: [number, number, number] = [0, 0, 0];
  const sd: [number, number, number] = [0, 0, 0];
  const cut = Math.floor(trim * count);
  for (let channel = 0; channel < 3; channel++) {
    let sum = 0;
    for (let k = 0; k < count; k++) {
      const value = pixels[3 * k + channel];
      if (value === 0 || value === top) clipped[k] = 1;
      values[k] = value;
      sum += value;
    }
    const plain = sum / count;
    let squares = 0;
    for (const value of values) squares += (value - plain) ** 2;
    sd[channel] = Math.sqrt(squares / Math.max(1, count - 1)) / top;
    values.sort();
    let kept = 0;
    for (let k = cut; k < values.length - cut; k++) kept += values[k];
    mean[channel] = kept / (values.length - 2 * cut) / top;
  }
  return { mean, sd, clippedShare: clipped.reduce((total, c) => total + c, 0) / count };
}
