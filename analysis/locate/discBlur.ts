import type { LinearRaster } from '../raster/raster.ts';
import { mean } from '../scatter.ts';

export interface DiscRim {
  /** Of the scanner's blur, px: a Gaussian's. */
  readonly sigmaPx: number;
  /** How much lighter than the paper farther off the lightest ring about the disc is, as a share of the rim's step: 0, or what sharpening leaves. */
  readonly overshoot: number;
}

/** How far a rim is looked at to either side, px: three sigma of any scanner's blur, and pixels enough where they are coarse. */
export function rimReachPx(dpi: number): number {
  return Math.max(REACH_PX, (REACH_MM * dpi) / 25.4);
}
const REACH_MM = 0.45;
const REACH_PX = 6;

/**
 * The scanner's blur from the rim of a printed dark disc: 10–90 % of the mean radial profile over 2.563, which is the
 * sigma of a Gaussian edge. The print's own softness is in it, so it is a little too large rather than too small.
 * @param raster Linear signals about the disc. @param xPx, yPx The disc's centre in the raster. @param radiusPx Its radius.
 * Returns null when the rim is cut off or shows no fall.
 */
export function discRim(raster: LinearRaster, xPx: number, yPx: number, radiusPx: number): DiscRim | null {
  const reach = Math.min(rimReachPx(raster.dpi), radiusPx * 0.45);
  const step = 0.25;
  const bins = Math.round((2 * reach) / step);
  const sum = new Float64Array(bins);
  const count = new Float64Array(bins);
  const { data, widthPx, heightPx } = raster;
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const bin = Math.floor((Math.hypot(x + 0.5 - xPx, y + 0.5 - yPx) - radiusPx + reach) / step);
      if (bin < 0 || bin >= bins) continue;
      const i = 3 * (y * widthPx + x);
      sum[bin] += data[i] + data[i + 1] + data[i + 2];
      count[bin]++;
    }
  }
  if (count.some((n) => n < 3)) return null;
  const profile = Array.from(sum, (s, b) => s / count[b]);
  const plateau = Math.max(1, Math.floor(bins / 8));
  const dark = mean(profile.slice(0, plateau));
  const light = mean(profile.slice(-plateau));
  if (!(light > 1.5 * dark)) return null;
  const level = (share: number) => {
    const at = dark + share * (light - dark);
    const b = profile.findIndex((v) => v >= at);
    if (b <= 0) return null;
    return (b - 1 + (at - profile[b - 1]) / (profile[b] - profile[b - 1])) * step;
  };
  const [low, high] = [level(0.1), level(0.9)];
  if (low === null || high === null) return null;
  // A pixel's breadth: one bin alone is noise.
  const wide = Math.round(1 / step);
  let lightest = light;
  for (let b = bins >> 1; b + wide <= bins; b++) lightest = Math.max(lightest, mean(profile.slice(b, b + wide)));
  return { sigmaPx: (high - low) / 2.563, overshoot: (lightest - light) / (light - dark) };
}
