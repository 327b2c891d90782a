/** Adds the triples between two places, in order, onto three sums. @param from, to Indices of values, multiples of three. */
export function addTriples(sum: Float64Array, values: Float32Array, from: number, to: number): void {
  let [red, green, blue] = sum;
  for (let i = from; i < to; i += 3) {
    red += values[i];
    green += values[i + 1];
    blue += values[i + 2];
  }
  sum[0] = red;
  sum[1] = green;
  sum[2] = blue;
}
