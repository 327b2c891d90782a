/** Regions whose pixels are let go as soon as nobody holds them; of smaller ones some may lie about at a time. */
import type { BoxPx } from '../scans/readScan.ts';

/** Four megapixels, which take 250 MB while they are measured: smaller ones find room beside what they have let go, and every look round costs time. */
const LARGE_PX = 4e6;

export function isLarge([, , width, height]: BoxPx): boolean {
  return width * height > LARGE_PX;
}
