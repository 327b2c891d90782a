import { Matrix } from 'ml-matrix';
import { principalModes } from '../../analysis/film/smoothModes.ts';

/** Mean and strongest modes of many curves. */
export function modesOf(
  curves: readonly ArrayLike<number>[],
  count: number,
): { mean: Float64Array; modes: Float64Array[] } {
  const size = curves[0].length;
  const mean = new Float64Array(size);
  for (const curve of curves) for (let l = 0; l < size; l++) mean[l] += curve[l] / curves.length;
  const covariance = Matrix.zeros(size, size);
  const away = new Float64Array(size);
  for (const curve of curves) {
    for (let l = 0; l < size; l++) away[l] = curve[l] - mean[l];
    for (let a = 0; a < size; a++) {
      for (let b = a; b < size; b++)
        covariance.set(a, b, covariance.get(a, b) + (away[a] * away[b]) / (curves.length - 1));
    }
  }
  for (let a = 0; a < size; a++) for (let b = 0; b < a; b++) covariance.set(a, b, covariance.get(b, a));
  return { mean, modes: principalModes(covariance, count) };
}
