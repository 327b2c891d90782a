/**
 * A smooth curve through points that never turns back where the points do not.
 * Source: Fritsch & Carlson 1980, SIAM J. Numer. Anal. 17(2), 238–246; slopes as Fritsch & Butland 1984 (weighted harmonic mean).
 */

/** Slopes at the knots of an interpolant that is monotone wherever the knots are. `x` rises strictly; two knots or more. */
export function monotoneSlopes(x: readonly number[], y: readonly number[]): number[] {
  const n = x.length;
  const h: number[] = [];
  const secant: number[] = [];
  for (let i = 0; i + 1 < n; i++) {
    h.push(x[i + 1] - x[i]);
    secant.push((y[i + 1] - y[i]) / h[i]);
  }
  if (n === 2) return [secant[0], secant[0]];
  const slopes = [endSlope(h[0], h[1], secant[0], secant[1])];
  for (let i = 1; i + 1 < n; i++) {
    const before = secant[i - 1];
    const after = secant[i];
    if (before * after <= 0) {
      slopes.push(0);
      continue;
    }
    const w1 = 2 * h[i] + h[i - 1];
    const w2 = h[i] + 2 * h[i - 1];
    slopes.push((w1 + w2) / (w1 / before + w2 / after));
  }
  slopes.push(endSlope(h[n - 2], h[n - 3], secant[n - 2], secant[n - 3]));
  return slopes;
}

/** Value of the cubic Hermite piece between knots i and i + 1. */
export function hermite(
  x: readonly number[],
  y: readonly number[],
  slopes: readonly number[],
  i: number,
  at: number,
): number {
  const h = x[i + 1] - x[i];
  const t = (at - x[i]) / h;
  const u = 1 - t;
  return y[i] * u * u * (1 + 2 * t) + y[i + 1] * t * t * (3 - 2 * t) + h * t * u * (slopes[i] * u - slopes[i + 1] * t);
}

/** Three-point slope at an end, held to the sign and to three times the secant so that the piece stays monotone. */
function endSlope(h0: number, h1: number, secant0: number, secant1: number): number {
  const slope = ((2 * h0 + h1) * secant0 - h0 * secant1) / (h0 + h1);
  if (slope * secant0 <= 0) return 0;
  if (secant0 * secant1 <= 0 && Math.abs(slope) > 3 * Math.abs(secant0)) return 3 * secant0;
  return slope;
}
