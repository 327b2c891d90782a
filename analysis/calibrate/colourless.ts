/** Scans in grey that were saved with three channels: red, green and blue are one. */

/** Channels of means that differ by less are alike; the least coloured scan of a target differs by many times as much. */
const ALIKE = 0.01;

export const COLOURLESS_SCAN =
  'The scan has no colour: red, green and blue are alike all over. Scan in colour (RGB, 24 or 48 bit), not in grey.';

/** @param rgb device values 0..1, interleaved, each the mean of several pixels */
export function isColourless(rgb: ArrayLike<number>): boolean {
  for (let i = 0; i + 2 < rgb.length; i += 3) {
    if (Math.max(rgb[i], rgb[i + 1], rgb[i + 2]) - Math.min(rgb[i], rgb[i + 1], rgb[i + 2]) > ALIKE) return false;
  }
  return rgb.length > 0;
}
