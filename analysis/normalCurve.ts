/** The normal distribution's sum and the error function, quick enough for every pixel; exact ones are in measure/strip/errorFunction.ts. */

/** Φ(z), absolute error below 1e-7. */
export function normalSum(z: number): number {
  if (z > 6) return 1;
  if (z < -6) return 0;
  const tail = 0.5 * complement(Math.abs(z) / Math.SQRT2);
  return z < 0 ? tail : 1 - tail;
}

/** erf(x), absolute error below 1.5e-7. */
export function erf(x: number): number {
  const y = 1 - complement(Math.abs(x));
  return x < 0 ? -y : y;
}

/** erfc(x) for x ≥ 0. Source: Abramowitz & Stegun (1964), 7.1.26. */
function complement(x: number): number {
  const t = 1 / (1 + 0.3275911 * x);
  const series = ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t;
  return series * Math.exp(-x * x);
}

/** 10–90 % and 10–70 % distance of a step blurred by a Gaussian, in its sigma: Φ⁻¹(0.9) − Φ⁻¹(0.1), Φ⁻¹(0.7) − Φ⁻¹(0.1). */
export const SIGMAS_10_90 = 2.563103;
export const SIGMAS_10_70 = 1.805952;
