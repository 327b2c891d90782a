/** Grey steps of a card that was taught are known to some tenths of L*: neighbours then say more of a step than it says itself. */
import { cholesky, solveCholesky } from './cholesky.ts';

/** Steps nearer than this in device value are spread to it: a slope between them would be noise. */
const LEAST_STEP = 0.004;
/**
 * How freely a device's curve may bend in the space that its power law makes straight: variance of the slope's change per unit
 * of device value. The scanners of study/simulatedScanner.ts bend by less; a smaller value would smooth real curves.
 */
const BEND = 0.05;
/** A step is never believed beyond this, so that the system stays regular. */
const LEAST_DOUBT = 1e-5;

/**
 * The likeliest curve at the steps: Σ ((f − y) / u)² + ∫ f''² / BEND at its least, f a cubic smoothing spline by differences
 * (Whittaker 1923; Reinsch 1967). Steps with u = 0 stay where they are.
 * @param x device values, in any order. @param y what they give. @param u standard uncertainty of each y
 */
export function smoothedSteps(x: readonly number[], y: readonly number[], u: readonly number[]): number[] {
  const n = x.length;
  if (n < 3) return [...y];
  const order = x.map((_, i) => i).sort((a, b) => x[a] - x[b]);
  const h = order.slice(1).map((i, k) => Math.max(LEAST_STEP, x[i] - x[order[k]]));
  const system = new Float64Array(n * n);
  const right = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    const weight = 1 / Math.max(LEAST_DOUBT, u[order[k]]) ** 2;
    system[k * n + k] += weight;
    right[k] = weight * y[order[k]];
  }
  for (let k = 1; k + 1 < n; k++) {
    const span = (h[k - 1] + h[k]) / 2;
    // The second derivative at a step from it and its two neighbours.
    const second = [1 / (h[k - 1] * span), 0, 1 / (h[k] * span)];
    second[1] = -second[0] - second[2];
    for (let a = 0; a < 3; a++)
      for (let b = 0; b < 3; b++) system[(k - 1 + a) * n + k - 1 + b] += (second[a] * second[b] * span) / BEND;
  }
  const solution = solveCholesky(cholesky(system, n), n, right);
  const out: number[] = [];
  order.forEach((i, k) => (out[i] = u[i] > 0 ? solution[k] : y[i]));
  return out;
}
