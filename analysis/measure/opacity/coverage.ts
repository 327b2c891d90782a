/** How much of the light at a blurred line's middle is the line's own. */

/**
 * Mean share over the middle of a line of sharp edges that a Gaussian blurs.
 * @param width of the line, @param half of the middle that counts (to either side), @param sigma of the blur; one unit for all
 */
export function coverage(width: number, half: number, sigma: number): number {
  const at = (x: number): number => 0.5 * (erf((width / 2 - x) / sigma) + erf((width / 2 + x) / sigma));
  const places = Array.from({ length: PLACES }, (_, i) => ((i + 0.5) / PLACES) * half);
  return Math.max(0.2, places.reduce((sum, x) => sum + at(x), 0) / PLACES);
}

const PLACES = 8;

/** erf(z/√2). Source: Abramowitz & Stegun 1964, 7.1.26; off by less than 1.5e-7. */
function erf(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const series = ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t;
  return Math.sign(z) * (1 - series * Math.exp(-x * x));
}
