/** Linear equations, n × n row-major; Gauss elimination with partial pivots. Null when they fix no answer. */
export function solve(matrix: Float64Array, right: Float64Array): Float64Array | null {
  const n = right.length;
  const m = matrix.slice();
  const x = right.slice();
  let largest = 0;
  for (let k = 0; k < n; k++) largest = Math.max(largest, Math.abs(m[n * k + k]));
  for (let k = 0; k < n; k++) {
    let pivot = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(m[n * i + k]) > Math.abs(m[n * pivot + k])) pivot = i;
    if (!(Math.abs(m[n * pivot + k]) > 1e-9 * largest)) return null;
    if (pivot !== k) {
      for (let j = 0; j < n; j++) [m[n * k + j], m[n * pivot + j]] = [m[n * pivot + j], m[n * k + j]];
      [x[k], x[pivot]] = [x[pivot], x[k]];
    }
    for (let i = k + 1; i < n; i++) {
      const f = m[n * i + k] / m[n * k + k];
      for (let j = k; j < n; j++) m[n * i + j] -= f * m[n * k + j];
      x[i] -= f * x[k];
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    for (let j = k + 1; j < n; j++) x[k] -= m[n * k + j] * x[j];
    x[k] /= m[n * k + k];
  }
  return x;
}
