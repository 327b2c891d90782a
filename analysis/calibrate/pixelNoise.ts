/** How one pixel scatters, in L*: the patches' own scatter seen through the calibration. */
import { xyzToLab } from '../colour/lab.ts';
import type { PatchReading, PixelNoise, ToneCurve } from './calibration.ts';
import { predictColour, type ColourFit } from './colourFit.ts';
import { curveFunction } from './toneCurve.ts';
import { upperMedian } from '../quantile.ts';

/** Of the patches by lightness, the share at either end that speaks, and the fewest. */
const END_SHARE = 0.1;
const FEWEST = 3;
/** Scatter of fewer pixels than this is a guess. */
const FEWEST_PIXELS = 50;

/**
 * Channels count as independent. Median over the lightest and the darkest tenth of the patches, so that a speck does not speak.
 * @param readings of patches that are neither clipped nor covered
 * @returns null when too few patches tell: fewer than three at either end with scatter and 50 pixels
 */
export function pixelNoise(
  readings: readonly PatchReading[],
  curves: readonly [ToneCurve, ToneCurve, ToneCurve],
  fit: ColourFit,
): PixelNoise | null {
  const at = curves.map(curveFunction);
  const lightness = (device: readonly number[]): number =>
    xyzToLab(predictColour(fit, [at[0](device[0]), at[1](device[1]), at[2](device[2])]))[0];
  const told = readings
    .filter((reading) => reading.pixels >= FEWEST_PIXELS && Math.max(...reading.sd) > 0)
    .map(({ device, sd }) => {
      let variance = 0;
      for (let c = 0; c < 3; c++) {
        const step = Math.max(sd[c], 1e-4);
        const moved = (by: number): number[] => device.map((value, k) => (k === c ? value + by : value));
        const slope = (lightness(moved(step / 2)) - lightness(moved(-step / 2))) / step;
        variance += (slope * sd[c]) ** 2;
      }
      return { L: lightness(device), sd: Math.sqrt(variance) };
    })
    .sort((a, b) => a.L - b.L);
  const count = Math.max(FEWEST, Math.round(END_SHARE * told.length));
  if (told.length < 2 * FEWEST) return null;
  const sds = told.map(({ sd }) => sd);
  return { lightL: upperMedian(sds.slice(-count)), darkL: upperMedian(sds.slice(0, count)) };
}
