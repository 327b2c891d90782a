/**
 * An ink film on a ground: Kubelka–Munk's layer of finite thickness.
 * Source: Kubelka 1948, J. Opt. Soc. Am. 38(5), 448–457, with bSX written as g: c = g/tanh g, g² = K(K + 2S).
 */

/** Below this g the series of g/tanh g is exact to rounding. */
const SMALL = 1e-3;

/**
 * Reflectance of a layer over a ground, all at one wavelength, dimensionless.
 * @param ground reflectance of the ground, 0..1 @param K absorption × thickness, ≥ 0 @param S scattering × thickness, ≥ 0
 */
export function layerReflectance(ground: number, K: number, S: number): number {
  const c = cosine(K, S);
  return (ground * (c - K - S) + S) / (c + K + S - ground * S);
}

/** The same with its slopes, for fitting. @param out filled with [R, ∂R/∂K, ∂R/∂S, ∂R/∂ground] */
export function layerWithSlopes(ground: number, K: number, S: number, out: Float64Array): void {
  const g2 = K * (K + 2 * S);
  const g = Math.sqrt(g2);
  let c: number;
  /** dc/d(g²) */
  let slope: number;
  if (g < SMALL) {
    c = 1 + g2 / 3;
    slope = 1 / 3;
  } else {
    const t = Math.tanh(g);
    c = g / t;
    // d(g coth g)/dg = coth g − g (coth² g − 1), over 2g
    const coth = 1 / t;
    slope = (coth - g * (coth * coth - 1)) / (2 * g);
  }
  const cK = slope * (2 * K + 2 * S);
  const cS = slope * 2 * K;
  const top = ground * (c - K - S) + S;
  const bottom = c + K + S - ground * S;
  const R = top / bottom;
  out[0] = R;
  out[1] = (ground * (cK - 1) - R * (cK + 1)) / bottom;
  out[2] = (ground * (cS - 1) + 1 - R * (cS + 1 - ground)) / bottom;
  out[3] = (c - K - S + R * S) / bottom;
}

function cosine(K: number, S: number): number {
  const g2 = K * (K + 2 * S);
  if (g2 < SMALL * SMALL) return 1 + g2 / 3;
  const g = Math.sqrt(g2);
  return g / Math.tanh(g);
}
