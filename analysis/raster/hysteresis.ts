/** Pixels above `low` that hang together (8-connected) with one above `seed`. */
export function growFrom(values: Float32Array, w: number, h: number, seed: number, low: number): Uint8Array {
  const inside = new Uint8Array(w * h);
  let stack = new Int32Array(1024);
  let top = 0;
  for (let i = 0; i < values.length; i++) {
    if (values[i] <= seed || inside[i]) continue;
    inside[i] = 1;
    stack[top++] = i;
    while (top > 0) {
      const p = stack[--top];
      const px = p % w;
      const from = p >= w ? p - w : p;
      const to = p < w * (h - 1) ? p + w : p;
      const left = px > 0 ? 1 : 0;
      const right = px < w - 1 ? 1 : 0;
      if (top + 8 > stack.length) stack = larger(stack);
      for (let row = from; row <= to; row += w) {
        for (let q = row - left; q <= row + right; q++) {
          if (inside[q] || values[q] <= low) continue;
          inside[q] = 1;
          stack[top++] = q;
        }
      }
    }
  }
  return inside;
}

function larger(stack: Int32Array): Int32Array<ArrayBuffer> {
  const out = new Int32Array(2 * stack.length);
  out.set(stack);
  return out;
}
