/**
 * The four ways from linear signals to XYZ, poorest first: linear 3×3, affine, and root polynomials of degree 2 and 3.
 * The root terms all have degree one, so twice the light gives twice the XYZ whatever the coefficients are.
 * Source: Finlayson, Mackiewicz & Hurlbert 2015, IEEE Trans. Image Process. 24(5), 1460–1470, eqs 5 and 6.
 */
import type { ColourModelName } from './calibration.ts';

export type FittedModel = Exclude<ColourModelName, 'nominal'>;

/** Poorest first: the order in which 'the simplest within one standard error' looks. */
export const COLOUR_MODELS: readonly FittedModel[] = ['linear', 'affine', 'rootPolynomial2', 'rootPolynomial3'];

const TERMS: Readonly<Record<ColourModelName, number>> = {
  nominal: 3,
  linear: 3,
  affine: 4,
  rootPolynomial2: 6,
  rootPolynomial3: 13,
};

/** Number of terms; the first three are always r, g, b themselves. */
export function termCount(model: ColourModelName): number {
  return TERMS[model];
}

/**
 * The terms of one colour, written to out[at …].
 * Signals below 0 (noise near black, extrapolated curves) count as 0 inside roots, which are not defined there.
 */
export function writeTerms(
  model: ColourModelName,
  r: number,
  g: number,
  b: number,
  out: { [index: number]: number },
  at = 0,
): void {
  out[at] = r;
  out[at + 1] = g;
  out[at + 2] = b;
  if (model === 'linear' || model === 'nominal') return;
  if (model === 'affine') {
    out[at + 3] = 1;
    return;
  }
  const rPos = r > 0 ? r : 0;
  const gPos = g > 0 ? g : 0;
  const bPos = b > 0 ? b : 0;
  out[at + 3] = Math.sqrt(rPos * gPos);
  out[at + 4] = Math.sqrt(gPos * bPos);
  out[at + 5] = Math.sqrt(rPos * bPos);
  if (model === 'rootPolynomial2') return;
  const rr = Math.cbrt(rPos);
  const gg = Math.cbrt(gPos);
  const bb = Math.cbrt(bPos);
  out[at + 6] = rr * gg * gg; // ∛(r g²)
  out[at + 7] = gg * bb * bb; // ∛(g b²)
  out[at + 8] = rr * bb * bb; // ∛(r b²)
  out[at + 9] = gg * rr * rr; // ∛(g r²)
  out[at + 10] = bb * gg * gg; // ∛(b g²)
  out[at + 11] = bb * rr * rr; // ∛(b r²)
  out[at + 12] = rr * gg * bb; // ∛(r g b)
}
