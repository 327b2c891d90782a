/**
 * Three equations: Σ_i columns[i] · x[i] = right, by Cramer's rule.
 * @param least A determinant nearer to nought than this is nought. @returns null where there is no one answer
 */
export function solve3(
  [a, b, c]: readonly (readonly number[])[],
  right: readonly number[],
  least: number,
): [number, number, number] | null {
  const whole = determinant(a, b, c);
  return Math.abs(whole) < least
    ? null
    : [determinant(right, b, c) / whole, determinant(a, right, c) / whole, determinant(a, b, right) / whole];
}

function determinant(p: readonly number[], q: readonly number[], r: readonly number[]): number {
  return p[0] * (q[1] * r[2] - q[2] * r[1]) - p[1] * (q[0] * r[2] - q[2] * r[0]) + p[2] * (q[0] * r[1] - q[1] * r[0]);
}
