/** Largest value within a square window, by windows of 2, 4, 8 … values: whole rows at a time, as memory lies. */
export function maximumFilter(data: Float32Array, widthPx: number, heightPx: number, radiusPx: number): Float32Array {
  const across = new Float32Array(data.length);
  const padded = new Float32Array(widthPx + 2 * radiusPx);
  for (let y = 0; y < heightPx; y++) {
    padded.fill(-Infinity);
    padded.set(data.subarray(y * widthPx, (y + 1) * widthPx), radiusPx);
    windowMaxima(padded, 1, 2 * radiusPx + 1);
    across.set(padded.subarray(0, widthPx), y * widthPx);
  }
  const tall = new Float32Array(widthPx * (heightPx + 2 * radiusPx)).fill(-Infinity);
  tall.set(across, widthPx * radiusPx);
  windowMaxima(tall, widthPx, 2 * radiusPx + 1);
  return tall.subarray(0, data.length);
}

/** Each value becomes, in place, the largest of itself and those `step`, 2 `step` … after it, `window` of them. */
function windowMaxima(values: Float32Array, step: number, window: number): void {
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

function largerOf(values: Float32Array, from: number, to: number, shift: number): void {
  for (let i = from; i < to; i++) {
    const other = values[i + shift];
    if (other > values[i]) values[i] = other;
  }
}
