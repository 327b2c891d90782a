import { NEW_ROOMS, type Rooms } from './rooms.ts';

/** Mean of each square of so many pixels a side, three channels; what is left over at the right and below is in none. */
export function squareMeans(
  data: Float32Array,
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
  side: number,
  rooms: Rooms = NEW_ROOMS,
): { readonly data: Float32Array; readonly widthPx: number; readonly heightPx: number } {
  const width = Math.floor(widthPx / side);
  const height = Math.floor(heightPx / side);
  const means = rooms.floats(3 * width * height);
  const sums = new Float64Array(3 * width);
  for (let y = 0; y < height; y++) {
    const from = 3 * y * side * widthPx;
    const at = 3 * y * width;
    if (side === 2) meansOfTwos(data, from, 3 * widthPx, means, at, at + 3 * width);
    else if (side === 3) meansOfThrees(data, from, 3 * widthPx, means, at, at + 3 * width);
    else meansOfAny(data, from, 3 * widthPx, side, sums, means, at);
  }
  return { data: means, widthPx: width, heightPx: height };
}

// One row of squares at a time: what is called often is soon compiled. The usual sides, over whole regions, by themselves.

function meansOfTwos(data: Float32Array, from: number, row: number, out: Float32Array, at: number, end: number): void {
  for (let k = at, i = from, j = from + row; k < end; k += 3, i += 6, j += 6) {
    out[k] = 0.25 * (data[i] + data[i + 3] + (data[j] + data[j + 3]));
    out[k + 1] = 0.25 * (data[i + 1] + data[i + 4] + (data[j + 1] + data[j + 4]));
    out[k + 2] = 0.25 * (data[i + 2] + data[i + 5] + (data[j + 2] + data[j + 5]));
  }
}

function meansOfThrees(
  data: Float32Array,
  from: number,
  row: number,
  out: Float32Array,
  at: number,
  end: number,
): void {
  const share = 1 / 9;
  for (let k = at, i = from; k < end; k += 3, i += 9) {
    for (let c = 0; c < 3; c++) {
      const p = i + c;
      const q = p + row;
      const r = q + row;
      out[k + c] =
        share *
        (data[p] +
          data[p + 3] +
          data[p + 6] +
          (data[q] + data[q + 3] + data[q + 6]) +
          (data[r] + data[r + 3] + data[r + 6]));
    }
  }
}

function meansOfAny(
  data: Float32Array,
  from: number,
  row: number,
  side: number,
  sums: Float64Array,
  out: Float32Array,
  at: number,
): void {
  sums.fill(0);
  for (let v = 0; v < side; v++) addRow(data, from + v * row, side, sums);
  const share = 1 / (side * side);
  for (let k = 0; k < sums.length; k++) out[at + k] = share * sums[k];
}

/** One row of interleaved triples onto the sums of a row of squares, three a square. */
function addRow(data: Float32Array, from: number, side: number, sums: Float64Array): void {
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
