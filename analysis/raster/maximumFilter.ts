/** Largest value within a square window; van Herk (1992), Pattern Recogn. Lett. 13, 517–521: three comparisons a pixel whatever the radius. */
export function maximumFilter(data: Float32Array, widthPx: number, heightPx: number, radiusPx: number): Float32Array {
  const out = new Float32Array(data.length);
  const longest = Math.max(widthPx, heightPx) + 4 * radiusPx + 1;
  const room = [new Float32Array(longest), new Float32Array(longest), new Float32Array(longest)] as const;
  for (let y = 0; y < heightPx; y++) filterLine(data, out, y * widthPx, 1, widthPx, radiusPx, room);
  // A line is read whole before any of it is written.
  for (let x = 0; x < widthPx; x++) filterLine(out, out, x, widthPx, heightPx, radiusPx, room);
  return out;
}

function filterLine(
  from: Float32Array,
  to: Float32Array,
  start: number,
  step: number,
  n: number,
  radius: number,
  [line, forward, backward]: readonly [Float32Array, Float32Array, Float32Array],
): void {
  const window = 2 * radius + 1;
  const length = Math.ceil((n + 2 * radius) / window) * window;
  line.fill(-Infinity, 0, radius);
  line.fill(-Infinity, n + radius, length);
  for (let i = 0, p = start; i < n; i++, p += step) line[radius + i] = from[p];
  for (let block = 0; block < length; block += window) {
    let most = -Infinity;
    for (let i = block; i < block + window; i++) {
      if (line[i] > most) most = line[i];
      forward[i] = most;
    }
    most = -Infinity;
    for (let i = block + window - 1; i >= block; i--) {
      if (line[i] > most) most = line[i];
      backward[i] = most;
    }
  }
  for (let i = 0, p = start; i < n; i++, p += step) {
    const a = backward[i];
    const b = forward[i + window - 1];
    to[p] = a > b ? a : b;
  }
}
