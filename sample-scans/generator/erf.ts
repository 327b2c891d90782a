/** The error function, for edges that blur by diffusion. */

/** Abramowitz & Stegun 7.1.26 (|error| < 1.5e-7; coefficients from memory, checked by a test). */
export function erf(x: number): number {
  const t = 1 / (1 + 0.3275911 * Math.abs(x));
  const poly = ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t;
  const value = 1 - poly * Math.exp(-x * x);
  return x < 0 ? -value : value;
}
