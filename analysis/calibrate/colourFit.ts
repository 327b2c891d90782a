/** Linear signals → XYZ by weighted least squares, with the exact left-out prediction of every patch from one solve. */
import type { Xyz } from '../colour/lab.ts';
import { dot } from '../dot.ts';
import { multiply3 } from '../raster/homography.ts';
import { solve3 } from '../solve3.ts';
import type { ColourModelName } from './calibration.ts';
import { cholesky, solveCholesky } from './cholesky.ts';
import { termCount, writeTerms } from './models.ts';

/** What the fit sees of a target: one entry a patch. */
export interface ColourSamples {
  readonly signals: readonly (readonly [number, number, number])[];
  readonly xyz: readonly Xyz[];
  /** 3 × 3, row-major: turns a small error of XYZ into one as the eye counts it (colourMetric.ts). */
  readonly metrics: readonly (readonly number[])[];
}

export interface ColourFit {
  readonly model: ColourModelName;
  readonly ridge: number;
  /** 3 rows (X, Y, Z) × the model's terms. */
  readonly matrix: readonly (readonly number[])[];
}

/**
 * Minimises Σ |metric · (matrix · terms − xyz)|² + ridge · (what goes beyond the 3 × 3)².
 * The ridge is in units of the terms' own weight in the sum, so that it means the same for any target and model.
 * @returns the fit, and for patch i the XYZ that a fit without it gives: e₋ᵢ = (I − Hᵢ)⁻¹ eᵢ, exact for least squares
 * (Cook & Weisberg 1982, Residuals and Influence in Regression, ch. 2, with a 3 × 3 block for one observation).
 */
export function fitColour(model: ColourModelName, ridge: number, samples: ColourSamples): JudgedFit {
  return colourSystem(model, samples)(ridge);
}

export interface JudgedFit extends ColourFit {
  leftOut(patch: number): Xyz;
}

/** The same for several ridges: what does not depend on them is summed once. */
export function colourSystem(model: ColourModelName, samples: ColourSamples): (ridge: number) => JudgedFit {
  const T = termCount(model);
  const size = 3 * T;
  const count = samples.signals.length;
  const terms = new Float64Array(count * T);
  samples.signals.forEach(([r, g, b], i) => writeTerms(model, r, g, b, terms, i * T));

  const normal = new Float64Array(size * size);
  const right = new Float64Array(size);
  for (let i = 0; i < count; i++) {
    const weight = squared(samples.metrics[i]);
    const xyz = samples.xyz[i];
    for (let a = 0; a < 3; a++) {
      const pull = weight[3 * a] * xyz[0] + weight[3 * a + 1] * xyz[1] + weight[3 * a + 2] * xyz[2];
      for (let s = 0; s < T; s++) {
        const term = terms[i * T + s];
        right[a * T + s] += pull * term;
        for (let b = 0; b <= a; b++) {
          const w = weight[3 * a + b] * term;
          const row = (a * T + s) * size + b * T;
          for (let t = 0; t < T; t++) normal[row + t] += w * terms[i * T + t];
        }
      }
    }
  }
  return (ridge) => solved(model, ridge, samples, { terms, normal, right });
}

function solved(
  model: ColourModelName,
  ridge: number,
  samples: ColourSamples,
  { terms, normal, right }: Readonly<Record<'terms' | 'normal' | 'right', Float64Array>>,
): JudgedFit {
  const T = termCount(model);
  const size = 3 * T;
  const system = Float64Array.from(normal);
  for (let a = 0; a < 3; a++) {
    let mean = 0;
    for (let t = 0; t < 3; t++) mean += normal[(a * T + t) * size + a * T + t] / 3;
    for (let t = 0; t < T; t++) {
      // A trace of it everywhere keeps the solve safe when terms coincide (a target of greys only).
      system[(a * T + t) * size + a * T + t] += mean * ((t < 3 ? 0 : ridge) + 1e-12);
    }
  }
  const factor = cholesky(system, size);
  const solution = solveCholesky(factor, size, right);
  const matrix = [0, 1, 2].map((a) => Array.from(solution.subarray(a * T, (a + 1) * T)));

  return {
    model,
    ridge,
    matrix,
    leftOut(patch) {
      const t = terms.subarray(patch * T, (patch + 1) * T);
      const predicted = [0, 1, 2].map((a) => dot(solution.subarray(a * T, (a + 1) * T), t));
      const error = predicted.map((value, k) => value - samples.xyz[patch][k]);
      // S = (I ⊗ tᵀ) N⁻¹ (I ⊗ t), the spread of the prediction; leaving out: e₋ = (I − S W)⁻¹ e
      const spread: number[] = [];
      for (let b = 0; b < 3; b++) {
        const unit = new Float64Array(size);
        unit.set(t, b * T);
        const column = solveCholesky(factor, size, unit);
        for (let a = 0; a < 3; a++) spread[3 * a + b] = dot(column.subarray(a * T, (a + 1) * T), t);
      }
      const left = identityMinus(multiply3(spread, squared(samples.metrics[patch])));
      const columns = [0, 1, 2].map((k) => [left[k], left[3 + k], left[6 + k]]);
      // Singular only when one patch alone holds up the fit: its left-out error is then huge, as it should be.
      const without = solve3(columns, error, 1e-12) ?? error.map((value) => value * 1e12);
      const [x, y, z] = without.map((value, k) => value + samples.xyz[patch][k]);
      return [x, y, z];
    },
  };
}

/** XYZ of one signal by a fit. */
export function predictColour(fit: ColourFit, signal: readonly [number, number, number]): Xyz {
  const terms: number[] = [];
  writeTerms(fit.model, signal[0], signal[1], signal[2], terms);
  const [x, y, z] = fit.matrix.map((row) => row.reduce((sum, value, i) => sum + value * terms[i], 0));
  return [x, y, z];
}

/** Gᵀ G of a 3 × 3. */
function squared(g: readonly number[]): number[] {
  const out: number[] = [];
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) out.push(g[i] * g[j] + g[3 + i] * g[3 + j] + g[6 + i] * g[6 + j]);
  }
  return out;
}

function identityMinus(m: readonly number[]): number[] {
  return m.map((value, i) => (i % 4 === 0 ? 1 : 0) - value);
}
