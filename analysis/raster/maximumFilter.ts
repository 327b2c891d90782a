/**
 * Largest value within a square window, 0 where all are less, by windows of 2, 4, 8 … values and whole rows, as memory lies.
 * Numbers are compared by their bits: noise would have every other comparison's branch foretold wrongly.
 */
export function maximumFilter(data: Float32Array, widthPx: number, heightPx: number, radiusPx: number): Float32Array {
  const window = 2 * radiusPx + 1;
  const tall = new Int32Array(widthPx * (heightPx + 2 * radiusPx));
  const padded = new Int32Array(widthPx + 2 * radiusPx);
  const bits = new Int32Array(data.buffer, data.byteOffset, data.length);
  for (let y = 0; y < heightPx; y++) {
    padded.fill(0);
    positiveOf(bits, y * widthPx, widthPx, padded, radiusPx);
    windowMaxima(padded, 1, window);
    tall.set(padded.subarray(0, widthPx), (radiusPx + y) * widthPx);
  }
  windowMaxima(tall, widthPx, window);
  return new Float32Array(tall.buffer, 0, data.length);
}

/** Bits of the numbers above 0, 0 for the others. */
function positiveOf(bits: Int32Array, from: number, count: number, out: Int32Array, at: number): void {
  for (let k = 0; k < count; k++) out[at + k] = bits[from + k] & ~(bits[from + k] >> 31);
}

/** Each value becomes, in place, the largest of itself and those `step`, 2 `step` … after it, `window` of them. */
function windowMaxima(values: Int32Array, step: number, window: number): void {
  let reached = 1;
  while (reached < window) {
    const further = Math.min(reached, window - reached);
    const shift = further * step;
    const end = values.length - shift;
    for (let i = 0; i < end; i += ROOM) largerOf(values, i, Math.min(end, i + ROOM), shift);
    reached += further;
  }
}

/** So many at a time, so that the loop is compiled after a few calls and what is read twice is still at hand. */
const ROOM = 4096;

/** Bits of numbers that are not below 0 grow with them. */
function largerOf(values: Int32Array, from: number, to: number, shift: number): void {
  for (let i = from; i < to; i++) {
    const less = (values[i] - values[i + shift]) | 0;
    values[i] -= less & (less >> 31);
  }
}
