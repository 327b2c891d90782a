/** The normal distribution's sum and its share of a blurred box. */

/** Φ(z), absolute error below 1e-7. Source: Abramowitz & Stegun (1964), 7.1.26. */
export function normalSum(z: number): number {
  if (z > 6) return 1;
  if (z < -6) return 0;
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const tail =
    0.5 *
    ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) *
    t *
    Math.exp(-x * x);
  return z < 0 ? tail : 1 - tail;
}

/** 10–90 % and 10–70 % distance of a step blurred by a Gaussian, in its sigma: Φ⁻¹(0.9) − Φ⁻¹(0.1), Φ⁻¹(0.7) − Φ⁻¹(0.1). */
export const SIGMAS_10_90 = 2.563103;
export const SIGMAS_10_70 = 1.805952;
