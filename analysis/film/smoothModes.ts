/** Smooth curves over the grid: the strongest modes of a Gaussian process of given correlation length. */
import { EigenvalueDecomposition, Matrix } from 'ml-matrix';
import { WAVELENGTHS_NM } from './grid.ts';

/** @returns `count` curves of 36 values; independent unit normals times these make smooth curves of standard deviation about 1 */
export function smoothModes(correlationNm: number, count: number): Float64Array[] {
  const covariance = new Matrix(
    WAVELENGTHS_NM.map((a) => WAVELENGTHS_NM.map((b) => Math.exp(-(((a - b) / correlationNm) ** 2) / 2))),
  );
  return principalModes(covariance, count);
}

/** Eigenvectors of a covariance times the root of their eigenvalues, strongest first. */
export function principalModes(covariance: Matrix, count: number): Float64Array[] {
  const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(covariance, { assumeSymmetric: true });
  return realEigenvalues
    .map((value, k) => ({ value, k }))
    .sort((a, b) => b.value - a.value)
    .slice(0, count)
    .map(({ value, k }) => {
      const vector = eigenvectorMatrix.getColumn(k);
      // A fixed sign, so that tables made anew are the same.
      const sign = Math.sign(vector.reduce((far, v) => (Math.abs(v) > Math.abs(far) + 1e-9 ? v : far), 0)) || 1;
      return Float64Array.from(vector, (v) => sign * v * Math.sqrt(Math.max(0, value)));
    });
}
