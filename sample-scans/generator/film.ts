/** Reflectance of an ink layer on a ground: Kubelka & Munk 1931, for a layer that absorbs and scatters a little. */
import { GRID } from './spectra.ts';
import type { Curve } from './spectra.ts';

/**
 * R = (Rg(c − K − S) + S) / (c + K + S − Rg·S), g = √(K(K + 2S)), c = g/tanh g.
 * @param ground reflectance Rg of what lies under the layer. @param K absorption and @param S scatter of the whole layer.
 */
export function filmReflectance(ground: number, K: number, S: number): number {
  const gg = K * (K + 2 * S);
  // Near g = 0 the quotient g/tanh g is 1 + g²/3 to better than 1e-9.
  const c = gg < 1e-4 ? 1 + gg / 3 : cOf(Math.sqrt(gg));
  return (ground * (c - K - S) + S) / (c + K + S - ground * S);
}

/** The film over a whole spectrum. `absorption` and `scatter` are per unit dose. */
export function filmCurve(ground: Curve, absorption: Curve, scatter: number, dose: number, out: Curve): Curve {
  for (let i = 0; i < GRID.count; i++) out[i] = filmReflectance(ground[i], dose * absorption[i], dose * scatter);
  return out;
}

function cOf(g: number): number {
  const e = Math.exp(-2 * g);
  return (g * (1 + e)) / (1 - e);
}
