/** Scans in grey, or in black and white, that were saved with three channels: of every pixel they are one number. */

/** Lowest and highest value; null: some pixel has colour. */
export type GreyRange = readonly [low: number, high: number] | null;

export const NOTHING_SEEN: GreyRange = [Infinity, -Infinity];

/** @param data device values, interleaved triples @param seen Of what came before. */
export function greyRange(data: Uint8Array | Uint16Array, seen: GreyRange): GreyRange {
  if (seen === null) return null;
  let [low, high] = seen;
  for (let i = 0; i + 2 < data.length; i += 3) {
    const value = data[i];
    if (data[i + 1] !== value || data[i + 2] !== value) return null;
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return [low, high];
}

/** Of a scan in colour no three numbers stay equal through noise; where all are at one end of the scale, they do. In steps of 8 bits. */
const LEAST_NOISE = 4;
/** A few pixels may be grey by chance. */
const LEAST_PIXELS = 1000;

/** Whether so many pixels were never in colour. */
export function isGreyOnly(range: GreyRange, pixels: number, bits: 8 | 16): boolean {
  if (range === null || pixels < LEAST_PIXELS) return false;
  return range[1] - range[0] >= LEAST_NOISE * (bits === 16 ? 257 : 1);
}
