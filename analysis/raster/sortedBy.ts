/** Sorting many things by one number each, without a call for every comparison. */

/** Indices of the values from the smallest to the largest; equal ones in their order. Any finite 32-bit floats. */
export function sortedBy(values: Float32Array): Int32Array {
  const n = values.length;
  const keys = new BigUint64Array(n);
  // Two halves a key: the bits of a positive float grow with it, those of a negative one fall; below them the index.
  const halves = new Uint32Array(keys.buffer);
  const bits = new Uint32Array(values.buffer, values.byteOffset, n);
  for (let k = 0; k < n; k++) {
    const b = bits[k];
    halves[2 * k] = k;
    halves[2 * k + 1] = b >>> 31 === 0 ? b | 0x80000000 : ~b;
  }
  keys.sort();
  const order = new Int32Array(n);
  for (let k = 0; k < n; k++) order[k] = halves[2 * k];
  return order;
}
