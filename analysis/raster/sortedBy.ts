/** Sorting many things by one number each, without a call for every comparison. */

/** Bits of a key that one pass sorts by. */
const BITS = 11;
const DIGITS = 1 << BITS;

interface Keyed {
  readonly keys: Uint32Array;
  readonly order: Int32Array;
}

/** Indices of the values from the smallest to the largest; equal ones in their order. Any finite 32-bit floats. */
export function sortedBy(values: Float32Array): Int32Array {
  const n = values.length;
  const bits = new Uint32Array(values.buffer, values.byteOffset, n);
  let from: Keyed = { keys: new Uint32Array(n), order: new Int32Array(n) };
  let to: Keyed = { keys: new Uint32Array(n), order: new Int32Array(n) };
  for (let first = 0; first < n; first += CHUNK) writeKeys(bits, first, from.keys, from.order);
  for (let shift = 0; shift < 32; shift += BITS) {
    byDigit(from, to, shift);
    [from, to] = [to, from];
  }
  return from.order;
}

/** One pass of a radix sort: by these bits of their keys, equal ones in their order. Keys travel along, so that all is read as it lies. */
function byDigit({ keys, order }: Keyed, to: Keyed, shift: number): void {
  const starts = new Int32Array(DIGITS + 1);
  for (let first = 0; first < keys.length; first += CHUNK) countDigits(keys, first, shift, starts);
  for (let d = 0; d < DIGITS; d++) starts[d + 1] += starts[d];
  for (let first = 0; first < keys.length; first += CHUNK) place(keys, order, first, shift, starts, to.keys, to.order);
}

/** So many at a time: what is called often is soon compiled. */
const CHUNK = 1024;

/** The bits of a positive float grow with it, those of a negative one fall. */
function writeKeys(bits: Uint32Array, first: number, keys: Uint32Array, order: Int32Array): void {
  for (let k = first, end = Math.min(bits.length, first + CHUNK); k < end; k++) {
    keys[k] = bits[k] >>> 31 === 0 ? bits[k] | 0x80000000 : ~bits[k];
    order[k] = k;
  }
}

function countDigits(keys: Uint32Array, first: number, shift: number, counts: Int32Array): void {
  for (let k = first, end = Math.min(keys.length, first + CHUNK); k < end; k++) {
    counts[((keys[k] >>> shift) & (DIGITS - 1)) + 1]++;
  }
}

function place(
  keys: Uint32Array,
  order: Int32Array,
  first: number,
  shift: number,
  starts: Int32Array,
  toKeys: Uint32Array,
  toOrder: Int32Array,
): void {
  for (let k = first, end = Math.min(keys.length, first + CHUNK); k < end; k++) {
    const at = starts[(keys[k] >>> shift) & (DIGITS - 1)]++;
    toKeys[at] = keys[k];
    toOrder[at] = order[k];
  }
}
