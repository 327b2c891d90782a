/** Sorting many things by one number each, without a call for every comparison. */

/** Bits of a key that one pass sorts by. */
const BITS = 11;
const DIGITS = 1 << BITS;

/** Indices of the values from the smallest to the largest; equal ones in their order. Any finite 32-bit floats. */
export function sortedBy(values: Float32Array): Int32Array {
  const n = values.length;
  const bits = new Uint32Array(values.buffer, values.byteOffset, n);
  const keys = new Uint32Array(n);
  // The bits of a positive float grow with it, those of a negative one fall.
  for (let k = 0; k < n; k++) keys[k] = bits[k] >>> 31 === 0 ? bits[k] | 0x80000000 : ~bits[k];
  let order = new Int32Array(n);
  for (let k = 0; k < n; k++) order[k] = k;
  let spare = new Int32Array(n);
  for (let shift = 0; shift < 32; shift += BITS) {
    byDigit(keys, order, spare, shift);
    [order, spare] = [spare, order];
  }
  return order;
}

/** One pass of a radix sort: by these bits of their keys, equal ones in their order. */
function byDigit(keys: Uint32Array, from: Int32Array, to: Int32Array, shift: number): void {
  const starts = new Int32Array(DIGITS + 1);
  for (let k = 0; k < from.length; k++) starts[((keys[from[k]] >>> shift) & (DIGITS - 1)) + 1]++;
  for (let d = 0; d < DIGITS; d++) starts[d + 1] += starts[d];
  for (let k = 0; k < from.length; k++) {
    const digit = (keys[from[k]] >>> shift) & (DIGITS - 1);
    to[starts[digit]++] = from[k];
  }
}
