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
  for (let k = 0; k < n; k++) {
    // The bits of a positive float grow with it, those of a negative one fall.
    from.keys[k] = bits[k] >>> 31 === 0 ? bits[k] | 0x80000000 : ~bits[k];
    from.order[k] = k;
  }
  for (let shift = 0; shift < 32; shift += BITS) {
    byDigit(from, to, shift);
    [from, to] = [to, from];
  }
  return from.order;
}

/** One pass of a radix sort: by these bits of their keys, equal ones in their order. Keys travel along, so that all is read as it lies. */
function byDigit({ keys, order }: Keyed, to: Keyed, shift: number): void {
  const starts = new Int32Array(DIGITS + 1);
  for (let k = 0; k < keys.length; k++) starts[((keys[k] >>> shift) & (DIGITS - 1)) + 1]++;
  for (let d = 0; d < DIGITS; d++) starts[d + 1] += starts[d];
  const { keys: toKeys, order: toOrder } = to;
  for (let k = 0; k < keys.length; k++) {
    const at = starts[(keys[k] >>> shift) & (DIGITS - 1)]++;
    toKeys[at] = keys[k];
    toOrder[at] = order[k];
  }
}
