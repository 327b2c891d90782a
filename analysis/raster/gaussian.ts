/** Separable Gaussian smoothing, with and without a mask. */

/** Half a Gaussian kernel, k[0] at the centre; sums (both sides) to 1. Cut at 3 sigma. */
export function gaussianKernel(sigmaPx: number): Float64Array {
  const radius = Math.max(1, Math.ceil(3 * sigmaPx));
  const kernel = new Float64Array(radius + 1);
  let sum = 0;
  for (let i = 0; i <= radius; i++) {
    kernel[i] = Math.exp(-(i * i) / (2 * sigmaPx * sigmaPx));
    sum += i === 0 ? kernel[i] : 2 * kernel[i];
  }
  return kernel.map((k) => k / sum);
}

/** One channel, mirrored at the raster's ends. @param out Where it goes; `data` itself may be given. */
export function gaussianSmooth(
  data: Float32Array,
  widthPx: number,
  heightPx: number,
  sigmaPx: number,
  out = new Float32Array(data.length),
): Float32Array {
  const kernel = gaussianKernel(sigmaPx);
  const radius = kernel.length - 1;
  // Rows smoothed across, as many as one row of the result looks at: a whole page of them would be idle memory.
  const rows = Math.min(heightPx, 2 * radius + 1);
  const across = new Float32Array(rows * widthPx);
  let ready = 0;
  // Down the columns by whole rows: memory is read in the order in which it lies.
  const line = new Float64Array(widthPx);
  const places = new Int32Array(2 * radius + 2);
  for (let y = 0; y < heightPx; y++) {
    for (; ready < heightPx && ready <= y + radius; ready++) {
      smoothRow(data, ready * widthPx, across, (ready % rows) * widthPx, widthPx, kernel);
    }
    const here = (y % rows) * widthPx;
    for (let j = 1; j <= radius; j++) {
      places[2 * j] = (mirrored(y - j, heightPx) % rows) * widthPx;
      places[2 * j + 1] = (mirrored(y + j, heightPx) % rows) * widthPx;
    }
    if (radius === 2) sumOfFive(across, here, places, kernel, out, y * widthPx, widthPx);
    else if (radius === 3) sumOfSeven(across, here, places, kernel, out, y * widthPx, widthPx);
    if (radius === 2 || radius === 3) continue;
    weighted(across, here, kernel[0], line);
    for (let j = 1; j < kernel.length; j++) addPair(across, places[2 * j], places[2 * j + 1], kernel[j], line);
    // The rows above have been read, so that this one of `data` is not looked at again.
    out.set(line, y * widthPx);
  }
  return out;
}

// A row at a time: what is called often is soon compiled, what loops over a whole page once is compiled when the page is nearly done.

/** The smallest blur, over whole pages: five rows at once. */
function sumOfFive(
  rows: Float32Array,
  here: number,
  places: Int32Array,
  kernel: Float64Array,
  out: Float32Array,
  at: number,
  n: number,
): void {
  const [k0, k1, k2] = kernel;
  const [, , b, d, a, e] = places;
  for (let x = 0; x < n; x++) {
    out[at + x] = k0 * rows[here + x] + k1 * (rows[b + x] + rows[d + x]) + k2 * (rows[a + x] + rows[e + x]);
  }
}

function sumOfSeven(
  rows: Float32Array,
  here: number,
  places: Int32Array,
  kernel: Float64Array,
  out: Float32Array,
  at: number,
  n: number,
): void {
  const [k0, k1, k2, k3] = kernel;
  const [, , c, d, b, e, a, f] = places;
  for (let x = 0; x < n; x++) {
    out[at + x] =
      k0 * rows[here + x] +
      k1 * (rows[c + x] + rows[d + x]) +
      k2 * (rows[b + x] + rows[e + x]) +
      k3 * (rows[a + x] + rows[f + x]);
  }
}

function weighted(rows: Float32Array, at: number, weight: number, line: Float64Array): void {
  for (let x = 0; x < line.length; x++) line[x] = weight * rows[at + x];
}

function addPair(rows: Float32Array, above: number, below: number, weight: number, line: Float64Array): void {
  for (let x = 0; x < line.length; x++) line[x] += weight * (rows[above + x] + rows[below + x]);
}

function smoothRow(from: Float32Array, start: number, to: Float32Array, at: number, n: number, k: Float64Array): void {
  const radius = k.length - 1;
  if (radius === 2 && n > 4) {
    const [k0, k1, k2] = k;
    for (let i = 2, p = start + 2, q = at + 2; i < n - 2; i++, p++, q++) {
      to[q] = k0 * from[p] + k1 * (from[p - 1] + from[p + 1]) + k2 * (from[p - 2] + from[p + 2]);
    }
  }
  if (radius === 3 && n > 6) {
    const [k0, k1, k2, k3] = k;
    for (let i = 3, p = start + 3, q = at + 3; i < n - 3; i++, p++, q++) {
      to[q] =
        k0 * from[p] +
        k1 * (from[p - 1] + from[p + 1]) +
        k2 * (from[p - 2] + from[p + 2]) +
        k3 * (from[p - 3] + from[p + 3]);
    }
  }
  const isShort = (radius === 2 || radius === 3) && n > 2 * radius;
  for (let i = 0; i < n; i++) {
    // What was done at once above.
    if (i === radius && isShort) i = n - radius;
    let sum = from[start + i] * k[0];
    if (i >= radius && i < n - radius) {
      for (let j = 1; j <= radius; j++) sum += k[j] * (from[start + i - j] + from[start + i + j]);
    } else {
      for (let j = 1; j <= radius; j++)
        sum += k[j] * (from[start + mirrored(i - j, n)] + from[start + mirrored(i + j, n)]);
    }
    to[at + i] = sum;
  }
}

/** A place beyond the end is read as far inside it; a kernel wider than the raster stops at the other end. */
function mirrored(i: number, n: number): number {
  if (i < 0) return Math.min(n - 1, -i - 1);
  return i >= n ? Math.max(0, 2 * n - i - 1) : i;
}

/**
 * Mean over the mask only, weighted by a Gaussian (normalised convolution: Knutsson & Westin 1993). `channels` interleaved values.
 * Pixels outside the mask keep 0.
 */
export function gaussianSmoothInside(
  data: Float32Array,
  channels: number,
  inside: Uint8Array,
  widthPx: number,
  heightPx: number,
  sigmaPx: number,
): Float32Array {
  const n = widthPx * heightPx;
  const weight = new Float32Array(inside);
  gaussianSmooth(weight, widthPx, heightPx, sigmaPx, weight);
  const out = new Float32Array(n * channels);
  const plane = new Float32Array(n);
  for (let c = 0; c < channels; c++) {
    for (let i = 0; i < n; i++) plane[i] = inside[i] ? data[channels * i + c] : 0;
    gaussianSmooth(plane, widthPx, heightPx, sigmaPx, plane);
    for (let i = 0; i < n; i++) if (inside[i]) out[channels * i + c] = plane[i] / weight[i];
  }
  return out;
}
