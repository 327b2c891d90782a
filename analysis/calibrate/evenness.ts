/** How even a patch is inside: what lies partly on it, or patches that are read across their rims, show here and not in its mean. */
import type { PatchEvenness } from './calibration.ts';

/** A pixel is none of the patch's own beyond this distance from its median, device 0..1, and beyond its scatter: grain is not dirt. */
const STRAY = 0.06;
const STRAY_SCATTER = 5;
/** Left out at either end of a quarter: dust is no unevenness. */
const TRIM = 0.15;
/** Half the distance of the quartiles over this is a normal distribution's standard deviation. */
const QUARTILE = 0.6745;

/**
 * @param quarters Device values of some pixels of each quarter, three a pixel.
 * @param top The end of their scale, 255 or 65535.
 */
export function patchEvenness(quarters: readonly Uint16Array[], top: number): PatchEvenness {
  const count = quarters.reduce((sum, quarter) => sum + quarter.length / 3, 0);
  const stray = new Uint8Array(count);
  let quarterSpread = 0;
  for (let channel = 0; channel < 3; channel++) {
    const all = new Uint16Array(count);
    const means: number[] = [];
    let at = 0;
    for (const quarter of quarters) {
      const own = all.subarray(at, at + quarter.length / 3);
      for (let k = 0; k < own.length; k++) own[k] = quarter[3 * k + channel];
      at += own.length;
      if (own.length > 0) means.push(trimmedMean(own.slice().sort()) / top);
    }
    quarterSpread = Math.max(quarterSpread, Math.max(...means) - Math.min(...means));
    const sorted = all.slice().sort();
    const median = sorted[count >> 1];
    const scatter = (sorted[Math.floor(0.75 * count)] - sorted[Math.floor(0.25 * count)]) / 2 / QUARTILE;
    const reach = Math.max(STRAY * top, STRAY_SCATTER * scatter);
    for (let k = 0; k < count; k++) if (Math.abs(all[k] - median) > reach) stray[k] = 1;
  }
  return { quarterSpread, strayShare: stray.reduce((sum, one) => sum + one, 0) / Math.max(1, count) };
}

function trimmedMean(sorted: Uint16Array): number {
  const cut = Math.floor(TRIM * sorted.length);
  let sum = 0;
  for (let k = cut; k < sorted.length - cut; k++) sum += sorted[k];
  return sum / (sorted.length - 2 * cut);
}
