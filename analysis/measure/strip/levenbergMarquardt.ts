/**
 * Least squares over few parameters: Levenberg–Marquardt with Marquardt's scaling, bounds, and steps that are taken only when they help.
 * Source: Marquardt (1963), J. SIAM 11, 431–441; Nielsen (1999), IMM-REP-1999-05 (how the damping moves).
 */
import { CholeskyDecomposition, Matrix } from 'ml-matrix';

export interface LeastSquaresProblem {
  /** Number of residuals. */
  readonly residuals: number;
  /** Writes the residuals, in σ, for these parameters. */
  readonly write: (parameters: readonly number[], out: Float64Array) => void;
  readonly min: readonly number[];
  readonly max: readonly number[];
  /** Step of the forward difference, one a parameter. */
  readonly step: readonly number[];
  /** No parameter moves further in one step: far from the answer the valley's bottom is guessed much too far off. Left out: as far as it likes. */
  readonly most?: readonly number[];
}

export interface LeastSquaresResult {
  readonly parameters: readonly number[];
  /** Σ residual². */
  readonly chi2: number;
}

/** A step that gains less than this, absolutely and as a share, ends the search. */
const LEAST_GAIN = 0.02;
const LEAST_SHARE = 1e-4;

/** @param steps Most steps; @returns the best found by then, within the bounds */
export function leastSquares(
  problem: LeastSquaresProblem,
  start: readonly number[],
  steps: number,
): LeastSquaresResult {
  const { residuals, write, min, max, most } = problem;
  const n = start.length;
  let parameters = start.map((v, i) => Math.min(max[i], Math.max(min[i], v)));
  let current = new Float64Array(residuals);
  let trial = new Float64Array(residuals);
  write(parameters, current);
  let chi2 = squares(current);
  if (n === 0) return { parameters, chi2 };
  const slopes = Array.from({ length: n }, () => new Float64Array(residuals));
  let damping = 1e-2;
  let growth = 2;
  let small = 0;
  for (let step = 0; step < steps; step++) {
    const { normal, gradient } = normalEquations(problem, parameters, current, slopes);
    let taken = false;
    while (!taken && damping < 1e8) {
      const move = solveDamped(normal, gradient, damping);
      const next = parameters.map((v, i) => Math.min(max[i], Math.max(min[i], v - within(move[i], most?.[i]))));
      write(next, trial);
      const nextChi2 = squares(trial);
      if (nextChi2 < chi2) {
        const gain = chi2 - nextChi2;
        small = gain < LEAST_GAIN + LEAST_SHARE * nextChi2 ? small + 1 : 0;
        parameters = next;
        chi2 = nextChi2;
        [current, trial] = [trial, current];
        damping = Math.max(1e-7, damping / 5);
        growth = 2;
        taken = true;
      } else {
        damping *= growth;
        growth *= 2;
      }
    }
    // Two small gains in a row: a single one may be a narrow bend of the valley.
    if (!taken || small >= 2) break;
  }
  return { parameters, chi2 };
}

function within(move: number, most = Number.POSITIVE_INFINITY): number {
  return Math.max(-most, Math.min(most, move));
}

function squares(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i] * values[i];
  return sum;
}

function normalEquations(
  problem: LeastSquaresProblem,
  parameters: readonly number[],
  current: Float64Array,
  slopes: Float64Array[],
): { normal: Matrix; gradient: Float64Array } {
  const n = parameters.length;
  const normal = Matrix.zeros(n, n);
  const gradient = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    // At the upper bound the difference is taken downwards.
    const h = parameters[i] + problem.step[i] > problem.max[i] ? -problem.step[i] : problem.step[i];
    const slope = slopes[i];
    problem.write(
      parameters.map((v, k) => (k === i ? v + h : v)),
      slope,
    );
    let dot = 0;
    for (let r = 0; r < slope.length; r++) {
      slope[r] = (slope[r] - current[r]) / h;
      dot += slope[r] * current[r];
    }
    gradient[i] = dot;
    for (let k = 0; k <= i; k++) {
      const other = slopes[k];
      let sum = 0;
      for (let r = 0; r < slope.length; r++) sum += slope[r] * other[r];
      normal.set(i, k, sum);
      normal.set(k, i, sum);
    }
  }
  return { normal, gradient };
}

/** (JᵀJ + λ·diag(JᵀJ))·move = Jᵀr; a parameter that nothing depends on stays where it is. */
function solveDamped(normal: Matrix, gradient: Float64Array, damping: number): number[] {
  const damped = normal.clone();
  const least = 1e-9 * Math.max(1e-300, ...normal.diag());
  for (let i = 0; i < gradient.length; i++) damped.set(i, i, normal.get(i, i) * (1 + damping) + least);
  const decomposition = new CholeskyDecomposition(damped);
  if (!decomposition.isPositiveDefinite()) return Array.from(gradient, () => 0);
  return decomposition.solve(Matrix.columnVector(gradient)).to1DArray();
}
