/** Three equations: Σ_i columns[i] · x[i] = right, by Cramer's rule; (0, 0, 0) where there is no one answer. */
export function solve3([a, b, c]: readonly (readonly number[])[], right: readonly number[]): [number, number, number] {
  const whole = determinant(a, b, c);
  return Math.abs(whole) < 1e-30
    ? [0, 0, 0]
    : [determinant(right, b, c) / whole, determinant(a, right, c) / whole, determinant(a, b, right) / whole];
}

function determinant(p: readonly number[], q: readonly number[], r: readonly number[]): number {
  return p[0] * (q[1] * r[2] - q[2] * r[1]) - p[1] * (q[0] * r[2] - q[2] * r[0]) + p[2] * (q[0] * r[1] - q[1] * r[0]);
}
