/**
 * Non-negative least squares for few unknowns, from the normal equations.
 * Source: Lawson & Hanson (1974), Solving Least Squares Problems, chapter 23; Bro & De Jong (1997), J. Chemom. 11, 393–401 (this form).
 * @param gram n × n, row-major (ΦᵀWΦ). @param right n (ΦᵀWy). @param out n, the heights.
 */
export function nonNegative(gram: Float64Array, right: Float64Array, n: number, out: Float64Array): void {
  const free = new Uint8Array(n).fill(1);
  const trial = new Float64Array(n);
  // Mostly all heights are positive anyway: then the plain solution is the answer.
  solveFree(gram, right, free, n, trial);
  if (trial.every((v) => v >= 0)) {
    out.set(trial);
    return;
  }
  out.fill(0);
  free.fill(0);
  for (let round = 0; round < 3 * n; round++) {
    let best = -1;
    let steepest = 1e-10;
    for (let j = 0; j < n; j++) {
      if (free[j]) continue;
      let slope = right[j];
      for (let k = 0; k < n; k++) slope -= gram[j * n + k] * out[k];
      const scaled = slope / Math.sqrt(gram[j * n + j] + 1e-300);
      if (scaled > steepest) {
        steepest = scaled;
        best = j;
      }
    }
    if (best < 0) return;
    free[best] = 1;
    for (let inner = 0; inner < n; inner++) {
      solveFree(gram, right, free, n, trial);
      let step = 1;
      for (let j = 0; j < n; j++)
        if (free[j] && trial[j] <= 0) step = Math.min(step, out[j] / (out[j] - trial[j] || 1e-300));
      if (step >= 1) break;
      for (let j = 0; j < n; j++) {
        if (!free[j]) continue;
        out[j] += step * (trial[j] - out[j]);
        if (out[j] <= 1e-12 && trial[j] <= 0) {
          out[j] = 0;
          free[j] = 0;
        }
      }
    }
    for (let j = 0; j < n; j++) out[j] = free[j] ? Math.max(0, trial[j]) : 0;
  }
}

/** Cholesky on the free unknowns; a whisper of ridge keeps two columns that coincide from blowing up. */
function solveFree(gram: Float64Array, right: Float64Array, free: Uint8Array, n: number, out: Float64Array): void {
  const index: number[] = [];
  for (let j = 0; j < n; j++) if (free[j]) index.push(j);
  const m = index.length;
  const lower = new Float64Array(m * m);
  const y = new Float64Array(m);
  for (let a = 0; a < m; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = gram[index[a] * n + index[b]];
      if (a === b) sum *= 1 + 1e-9;
      for (let k = 0; k < b; k++) sum -= lower[a * m + k] * lower[b * m + k];
      lower[a * m + b] = a === b ? Math.sqrt(Math.max(1e-300, sum)) : sum / lower[b * m + b];
    }
    let value = right[index[a]];
    for (let k = 0; k < a; k++) value -= lower[a * m + k] * y[k];
    y[a] = value / lower[a * m + a];
  }
  out.fill(0);
  for (let a = m - 1; a >= 0; a--) {
    let value = y[a];
    for (let b = a + 1; b < m; b++) value -= lower[b * m + a] * out[index[b]];
    out[index[a]] = value / lower[a * m + a];
  }
}
