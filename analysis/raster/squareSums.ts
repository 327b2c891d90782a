/** One row of interleaved triples onto the sums of a row of squares, three a square; a function of its own so that it is compiled after a few rows. */
export function addSquares(data: Float32Array, from: number, side: number, sums: Float64Array): void {
  for (let k = 0, i = from; k < sums.length; k += 3) {
    let r = 0;
    let g = 0;
    let b = 0;
    for (const end = i + 3 * side; i < end; i += 3) {
      r += data[i];
      g += data[i + 1];
      b += data[i + 2];
    }
    sums[k] += r;
    sums[k + 1] += g;
    sums[k + 2] += b;
  }
}
