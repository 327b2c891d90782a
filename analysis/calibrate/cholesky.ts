/** Symmetric positive definite systems of some forty unknowns, solved hundreds of times a target. */

/** Lower factor L of m = L Lᵀ, row-major; only the lower half of `m` is read. Throws a RangeError when m is not positive definite. */
export function cholesky(m: Float64Array, size: number): Float64Array {
  const L = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = m[i * size + j];
      for (let k = 0; k < j; k++) sum -= L[i * size + k] * L[j * size + k];
      if (i === j) {
        if (!(sum > 0)) throw new RangeError(`The system is singular at unknown ${i + 1} of ${size}.`);
        L[i * size + i] = Math.sqrt(sum);
      } else {
        L[i * size + j] = sum / L[j * size + j];
      }
    }
  }
  return L;
}

/** x of L Lᵀ x = right. */
export function solveCholesky(L: Float64Array, size: number, right: Float64Array): Float64Array {
  const x = Float64Array.from(right);
  for (let i = 0; i < size; i++) {
    let sum = x[i];
    for (let k = 0; k < i; k++) sum -= L[i * size + k] * x[k];
    x[i] = sum / L[i * size + i];
  }
  for (let i = size - 1; i >= 0; i--) {
    let sum = x[i];
    for (let k = i + 1; k < size; k++) sum -= L[k * size + i] * x[k];
    x[i] = sum / L[i * size + i];
  }
  return x;
}
