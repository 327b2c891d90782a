/** Smoothing along strokes only: fibres and scanner noise average out, what differs across or along the stroke stays. */
import { gaussianKernel, gaussianSmooth } from './gaussian.ts';
import type { Mask } from './raster.ts';
import { NEW_ROOMS, type Rooms } from './rooms.ts';

/** Directions of strokes are told by so many parts of half a turn: 0.7°, a tenth of a pixel at the end of the longest smoothing. */
const TURNS = 256;

/** Unit vectors along a stroke of each direction; y points down. */
export const TURN_X = Float64Array.from({ length: TURNS }, (_, k) => Math.cos((Math.PI * k) / TURNS));
export const TURN_Y = Float64Array.from({ length: TURNS }, (_, k) => Math.sin((Math.PI * k) / TURNS));

/** Direction of the stroke at each pixel, an index into TURN_X and TURN_Y; 0 off the strokes. */
export type StrokeDirection = Uint8Array;

/** A neighbourhood of so many pixels of a coarser grid (sigma) tells the same direction at a fraction of the work. */
const COARSE_SIGMA = 1.5;

/**
 * Direction of the strokes at each pixel, from the structure tensor of the distance map (Bigün & Granlund 1987).
 * @param depthPx Distance to the outside, px. @param pixels Those where it is above 0. @param sigmaPx Size of the neighbourhood.
 */
export function strokeDirection(
  depthPx: Float32Array,
  pixels: Int32Array,
  w: number,
  h: number,
  sigmaPx: number,
  rooms: Rooms = NEW_ROOMS,
): StrokeDirection {
  const f = Math.max(1, Math.floor(sigmaPx / COARSE_SIGMA));
  const across = Math.ceil(w / f);
  const down = Math.ceil(h / f);
  const twice = new Float32Array(across * down);
  const difference = new Float32Array(across * down);
  const cells = cellsAcross(w, f);
  for (let from = 0; from < pixels.length; from += CHUNK) {
    addGradients(
      depthPx,
      pixels,
      from,
      Math.min(pixels.length, from + CHUNK),
      w,
      h,
      f,
      cells,
      across,
      twice,
      difference,
    );
  }
  for (const part of [twice, difference]) gaussianSmooth(part, across, down, sigmaPx / f, part);
  // Within half a square's side the direction hardly turns: told once, where there is ink.
  const fine = Math.max(1, f >> 1);
  const told = new Int16Array(Math.ceil(w / fine) * Math.ceil(h / fine)).fill(-1);
  const out = rooms.zeroBytes(w * h);
  const places = cellsAcross(w, fine);
  for (let from = 0; from < pixels.length; from += CHUNK) {
    const to = Math.min(pixels.length, from + CHUNK);
    tellTurns(pixels, from, to, w, fine, places, told, difference, twice, across, down, fine / f, out);
  }
  return out;
}

/** Of some of the pixels, whose order is the raster's. */
function tellTurns(
  pixels: Int32Array,
  from: number,
  to: number,
  w: number,
  fine: number,
  places: Int32Array,
  told: Int16Array,
  difference: Float32Array,
  twice: Float32Array,
  across: number,
  down: number,
  share: number,
  out: Uint8Array,
): void {
  const columns = places[w - 1] + 1;
  let start = 0;
  let row = 0;
  for (let k = from; k < to; k++) {
    const i = pixels[k];
    if (k === from || i >= start + w) {
      const y = Math.floor(i / w);
      start = y * w;
      row = Math.floor(y / fine);
    }
    const x = places[i - start];
    const cell = row * columns + x;
    if (told[cell] < 0) told[cell] = turnAt(difference, twice, across, down, x, row, share);
    out[i] = told[cell];
  }
}

/** Direction at a square of a finer grid, whose squares have this share of the others' sides; bilinear. */
function turnAt(
  difference: Float32Array,
  twice: Float32Array,
  across: number,
  down: number,
  x: number,
  y: number,
  share: number,
): number {
  const u = Math.min(across - 1, Math.max(0, (x + 0.5) * share - 0.5));
  const v = Math.min(down - 1, Math.max(0, (y + 0.5) * share - 0.5));
  const left = Math.min(Math.max(0, across - 2), Math.floor(u));
  const top = Math.min(Math.max(0, down - 2), Math.floor(v));
  const right = across > 1 ? 1 : 0;
  const s = u - left;
  const t = v - top;
  const j = top * across + left;
  const l = j + (down > 1 ? across : 0);
  const a = (1 - t) * (1 - s);
  const b = (1 - t) * s;
  const c = t * (1 - s);
  const d = t * s;
  return turnOf(
    a * difference[j] + b * difference[j + right] + c * difference[l] + d * difference[l + right],
    a * twice[j] + b * twice[j + right] + c * twice[l] + d * twice[l + right],
  );
}

function cellsAcross(w: number, f: number): Int32Array {
  const cells = new Int32Array(w);
  for (let x = 0; x < w; x++) cells[x] = Math.floor(x / f);
  return cells;
}

/** Sums over squares of f × f px of the gradient's products, 2 gx gy and gx² − gy², of some of the pixels. */
function addGradients(
  depthPx: Float32Array,
  pixels: Int32Array,
  from: number,
  to: number,
  w: number,
  h: number,
  f: number,
  cells: Int32Array,
  across: number,
  twice: Float32Array,
  difference: Float32Array,
): void {
  let start = 0;
  let row = 0;
  for (let k = from; k < to; k++) {
    const i = pixels[k];
    if (k === from || i >= start + w) {
      const y = Math.floor(i / w);
      start = y * w;
      row = Math.floor(y / f) * across;
    }
    const x = i - start;
    // The outermost pixels have no neighbours to all sides.
    if (x === 0 || x === w - 1 || start === 0 || start === w * (h - 1)) continue;
    const gx = depthPx[i + 1] - depthPx[i - 1];
    const gy = depthPx[i + w] - depthPx[i - w];
    const j = row + cells[x];
    twice[j] += 2 * gx * gy;
    difference[j] += gx * gx - gy * gy;
  }
}

/** Parts of a quarter of the doubled angle's diamond. */
const PARTS = 512;
/** The direction across each place of the diamond |c| + |s| = 1, from (1, 0) on towards (0, 1). */
const ACROSS = Uint8Array.from({ length: 4 * PARTS + 1 }, (_, k) => {
  const at = k / PARTS;
  const [c, s] = at < 1 ? [1 - at, at] : at < 2 ? [1 - at, 2 - at] : at < 3 ? [at - 3, 2 - at] : [at - 3, at - 4];
  // The gradient has half that angle, the stroke lies across it.
  return Math.round((Math.atan2(s, c) / 2 / Math.PI + 0.5) * TURNS) % TURNS;
});

/** Direction across a gradient whose doubled angle has this cosine and sine, up to a common factor. */
function turnOf(c: number, s: number): number {
  const size = Math.abs(c) + Math.abs(s);
  if (size === 0) return TURNS / 2;
  const t = s / size;
  return ACROSS[Math.round(PARTS * (c < 0 ? 2 - t : s < 0 ? 4 + t : t))];
}

/**
 * Three interleaved channels, each inside pixel averaged with the inside pixels before and behind it.
 * @param indices The inside pixels. Returns 3 values per index, in their order.
 */
export function smoothAlong(
  data: Float32Array,
  inside: Mask,
  indices: Int32Array,
  direction: StrokeDirection,
  sigmaPx: number,
): Float32Array {
  const kernel = gaussianKernel(Math.max(0.5, sigmaPx));
  const radius = kernel.length - 1;
  const steps = stepsAlong(radius, inside.widthPx);
  const out = new Float32Array(3 * indices.length);
  for (let from = 0; from < indices.length; from += FEW) {
    smoothSome(data, inside, indices, from, Math.min(indices.length, from + FEW), direction, steps, kernel, out);
  }
  return out;
}

/** So many at a time: what is called often is soon compiled. */
const CHUNK = 1024;
/** … and where each has many others to look at. */
const FEW = 64;

function smoothSome(
  data: Float32Array,
  inside: Mask,
  indices: Int32Array,
  from: number,
  to: number,
  direction: StrokeDirection,
  steps: Int32Array,
  kernel: Float64Array,
  out: Float32Array,
): void {
  const { data: within, widthPx: w, heightPx: h } = inside;
  const radius = kernel.length - 1;
  for (let k = from; k < to; k++) {
    const i = indices[k];
    const y = Math.floor(i / w);
    const x = i - y * w;
    if (x < radius || y < radius || x >= w - radius || y >= h - radius) {
      smoothNearBorder(data, inside, i, x, y, direction[i], kernel, out, 3 * k);
    } else smoothOne(data, within, i, direction[i] * radius, steps, kernel, out, 3 * k);
  }
}

/** A pixel from whose place all of `steps` lead to others. @param first Of its direction's. */
function smoothOne(
  data: Float32Array,
  within: Uint8Array,
  i: number,
  first: number,
  steps: Int32Array,
  kernel: Float64Array,
  out: Float32Array,
  to: number,
): void {
  let total = kernel[0];
  let a = data[3 * i] * total;
  let b = data[3 * i + 1] * total;
  let c = data[3 * i + 2] * total;
  for (let s = 1; s < kernel.length; s++) {
    const step = steps[first + s - 1];
    const weight = kernel[s];
    if (within[i - step] === 1) {
      const j = 3 * (i - step);
      a += data[j] * weight;
      b += data[j + 1] * weight;
      c += data[j + 2] * weight;
      total += weight;
    }
    if (within[i + step] === 1) {
      const j = 3 * (i + step);
      a += data[j] * weight;
      b += data[j + 1] * weight;
      c += data[j + 2] * weight;
      total += weight;
    }
  }
  out[to] = a / total;
  out[to + 1] = b / total;
  out[to + 2] = c / total;
}

/** The same where some of those places lie beyond the raster. */
function smoothNearBorder(
  data: Float32Array,
  { data: within, widthPx: w, heightPx: h }: Mask,
  i: number,
  x: number,
  y: number,
  turn: number,
  kernel: Float64Array,
  out: Float32Array,
  to: number,
): void {
  let total = kernel[0];
  const sums = [data[3 * i] * total, data[3 * i + 1] * total, data[3 * i + 2] * total];
  for (let s = 1; s < kernel.length; s++) {
    const across = Math.round(s * TURN_X[turn]);
    const down = Math.round(s * TURN_Y[turn]);
    for (let side = -1; side <= 1; side += 2) {
      const u = x + side * across;
      const v = y + side * down;
      if (u < 0 || v < 0 || u >= w || v >= h || within[v * w + u] !== 1) continue;
      for (let n = 0; n < 3; n++) sums[n] += data[3 * (v * w + u) + n] * kernel[s];
      total += kernel[s];
    }
  }
  for (let n = 0; n < 3; n++) out[to + n] = sums[n] / total;
}

/** From a pixel to those 1, 2 … radius px along each direction, as steps through the raster. */
function stepsAlong(radius: number, w: number): Int32Array {
  const steps = new Int32Array(TURNS * radius);
  for (let t = 0; t < TURNS; t++) stepsOfTurn(t, radius, w, steps);
  return steps;
}

function stepsOfTurn(turn: number, radius: number, w: number, steps: Int32Array): void {
  for (let s = 1, k = turn * radius; s <= radius; s++, k++) {
    steps[k] = Math.round(s * TURN_Y[turn]) * w + Math.round(s * TURN_X[turn]);
  }
}
