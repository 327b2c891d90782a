/** One row of interleaved triples onto the sums of a row of squares, three a square; functions of their own so that they are compiled after a few rows. */
function addSquares(data: Float32Array, from: number, side: number, sums: Float64Array): void {
  if (side === 2) addTwos(data, from, sums);
  else if (side === 3) addThrees(data, from, sums);
  else addAny(data, from, side, sums);
}

function addTwos(data: Float32Array, from: number, sums: Float64Array): void {
  for (let k = 0, i = from; k < sums.length; k += 3, i += 6) {
    sums[k] += data[i] + data[i + 3];
    sums[k + 1] += data[i + 1] + data[i + 4];
    sums[k + 2] += data[i + 2] + data[i + 5];
  }
}

function addThrees(data: Float32Array, from: number, sums: Float64Array): void {
  for (let k = 0, i = from; k < sums.length; k += 3, i += 9) {
    sums[k] += data[i] + data[i + 3] + data[i + 6];
    sums[k + 1] += data[i + 1] + data[i + 4] + data[i + 7];
    sums[k + 2] += data[i + 2] + data[i + 5] + data[i + 8];
  }
}

function addAny(data: Float32Array, from: number, side: number, sums: Float64Array): void {
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

/** Mean of each square of so many pixels a side, three channels; what is left over at the right and below is in none. */
export function squareMeans(
  data: Float32Array,
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
  side: number,
): { readonly data: Float32Array; readonly widthPx: number; readonly heightPx: number } {
  const width = Math.floor(widthPx / side);
  const height = Math.floor(heightPx / side);
  const means = new Float32Array(3 * width * height);
  const sums = new Float64Array(3 * width);
  for (let y = 0; y < height; y++) {
    sums.fill(0);
    for (let v = 0; v < side; v++) addSquares(data, 3 * (y * side + v) * widthPx, side, sums);
    writeMeans(sums, 1 / (side * side), means, 3 * y * width);
  }
  return { data: means, widthPx: width, heightPx: height };
}

function writeMeans(sums: Float64Array, share: number, out: Float32Array, at: number): void {
  for (let k = 0; k < sums.length; k++) out[at + k] = share * sums[k];
}
