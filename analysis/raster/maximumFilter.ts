/** Largest value within a square window; van Herk (1992), Pattern Recogn. Lett. 13, 517–521: three comparisons a pixel whatever the radius. */
export function maximumFilter(data: Float32Array, widthPx: number, heightPx: number, radiusPx: number): Float32Array {
  const out = new Float32Array(data.length);
  const longest = Math.max(widthPx, heightPx) + 4 * radiusPx + 1;
  const room = [new Float32Array(longest), new Float32Array(longest)] as const;
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
  [forward, backward]: readonly [Float32Array, Float32Array],
): void {
  const window = 2 * radius + 1;
  const padded = n + 2 * radius;
  const length = Math.ceil(padded / window) * window;
  const at = (i: number) => (i < radius || i >= n + radius ? -Infinity : from[start + (i - radius) * step]);
  for (let i = 0; i < length; i++) forward[i] = i % window === 0 ? at(i) : Math.max(forward[i - 1], at(i));
  for (let i = length - 1; i >= 0; i--) backward[i] = (i + 1) % window === 0 ? at(i) : Math.max(backward[i + 1], at(i));
  for (let i = 0; i < n; i++) to[start + i * step] = Math.max(backward[i], forward[i + window - 1]);
}
