/** Takes from ink what blur did to it: the paling of a thin line, and the dark of two layers beside it. */

/** Undoes the paling by blur at the given pixels of the raster, in place: contrast over the share of it that was kept. */
export function unblur(ratio: Float32Array, indices: Int32Array, kept: (pixel: number) => number): void {
  for (const i of indices) {
    const share = kept(i);
    for (let c = 0; c < 3; c++) ratio[3 * i + c] = 1 - (1 - ratio[3 * i + c]) / share;
  }
}

/** The same of pixels that were gathered before. */
export function unblurredBy(
  gathered: Float32Array,
  indices: Int32Array,
  kept: (pixel: number) => number,
): Float32Array {
  const out = new Float32Array(gathered.length);
  for (let k = 0; k < indices.length; k++) {
    const share = kept(indices[k]);
    for (let c = 0; c < 3; c++) out[3 * k + c] = 1 - (1 - gathered[3 * k + c]) / share;
  }
  return out;
}

/** Each pixel takes the colour of another, in place. @returns what they were */
export function takeNearest(ratio: Float32Array, pixels: Int32Array, nearest: Int32Array): Float32Array {
  const were = new Float32Array(3 * pixels.length);
  for (let k = 0; k < pixels.length; k++) {
    for (let c = 0; c < 3; c++) {
      were[3 * k + c] = ratio[3 * pixels[k] + c];
      ratio[3 * pixels[k] + c] = ratio[3 * nearest[k] + c];
    }
  }
  return were;
}

export function putBack(ratio: Float32Array, pixels: Int32Array, were: Float32Array): void {
  for (let k = 0; k < pixels.length; k++) {
    for (let c = 0; c < 3; c++) ratio[3 * pixels[k] + c] = were[3 * k + c];
  }
}
