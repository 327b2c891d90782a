/**
 * A layer that sends back R0 over perfect black and lets T through, on a ground of reflectance Rg: R = R0 + T² · Rg / (1 − R0 · Rg).
 * Source: Kubelka 1948, J. Opt. Soc. Am. 38(5), 448–457; R0 and T of a layer of absorption K and scatter S (each × thickness) from the same, with
 * g² = K(K + 2S) and c = g/tanh g.
 */

/** All at one wavelength, or in one channel; dimensionless. */
export function onGround(r0: number, t: number, ground: number): number {
  return r0 + (t * t * ground) / (1 - r0 * ground);
}

/** Below this g the series are exact to rounding. */
const SMALL = 1e-3;

/** R0 and T of a layer. @param K absorption, @param S scatter, both × thickness, dimensionless, ≥ 0 */
export function layerOf(K: number, S: number): { r0: number; t: number } {
  const g = Math.sqrt(K * (K + 2 * S));
  const c = g < SMALL ? 1 + (g * g) / 3 : g / Math.tanh(g);
  const s = g < SMALL ? 1 - (g * g) / 6 : g / Math.sinh(g);
  return { r0: S / (c + K + S), t: s / (c + K + S) };
}

/** White that opacity's standards lay under a sheet: TAPPI T 425's 89 % backing. */
export const STANDARD_WHITE = 0.89;

/** Turned round: K and S, each × thickness, of a layer with these. Kubelka 1948: a = (1 + R0² − T²)/(2 R0), S = arcoth((1 − a R0)/(b R0))/b. */
export function absorptionAndScatter(r0: number, t: number): { readonly K: number; readonly S: number } {
  if (r0 < 1e-6) return { K: -Math.log(Math.max(1e-9, t)), S: 0 };
  const a = (1 + r0 * r0 - t * t) / (2 * r0);
  // Nothing is absorbed: R0 + T = 1.
  if (a <= 1 + 1e-9) return { K: 0, S: r0 / (1 - r0) };
  const b = Math.sqrt(a * a - 1);
  const coth = (1 - a * r0) / (b * r0);
  const S = Math.log((coth + 1) / (coth - 1)) / (2 * b);
  return { K: S * (a - 1), S };
}
