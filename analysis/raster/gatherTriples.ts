/** So many at a time: what is called often is soon compiled. */
const CHUNK = 1024;

/** Of interleaved triples those of these pixels, in their order. */
export function gatherTriples(data: Float32Array, indices: Int32Array): Float32Array {
  const out = new Float32Array(3 * indices.length);
  for (let from = 0; from < indices.length; from += CHUNK) gatherSome(data, indices, from, out);
  return out;
}

function gatherSome(data: Float32Array, indices: Int32Array, from: number, out: Float32Array): void {
  for (let k = from, end = Math.min(indices.length, from + CHUNK); k < end; k++) {
    const i = 3 * indices[k];
    out[3 * k] = data[i];
    out[3 * k + 1] = data[i + 1];
    out[3 * k + 2] = data[i + 2];
  }
}
