/** How much of the light at a blurred line's middle is the line's own. */
import { erf } from '../../normalCurve.ts';

/**
 * Mean share over the middle of a line of sharp edges that a Gaussian blurs.
 * @param width of the line, @param half of the middle that counts (to either side), @param sigma of the blur; one unit for all
 */
export function coverage(width: number, half: number, sigma: number): number {
  const at = (x: number): number =>
    0.5 * (erf((width / 2 - x) / sigma / Math.SQRT2) + erf((width / 2 + x) / sigma / Math.SQRT2));
  const places = Array.from({ length: PLACES }, (_, i) => ((i + 0.5) / PLACES) * half);
  return Math.max(0.2, places.reduce((sum, x) => sum + at(x), 0) / PLACES);
}

const PLACES = 8;
