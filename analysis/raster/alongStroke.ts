/** Smoothing along strokes only: fibres and scanner noise average out, what differs across or along the stroke stays. */
import { gaussianKernel, gaussianSmooth } from './gaussian.ts';
import type { Mask } from './raster.ts';

/** A unit vector per pixel; zero off the strokes. */
export interface StrokeDirection {
  readonly x: Float32Array;
  readonly y: Float32Array;
}

/** A neighbourhood of so many pixels of a coarser grid (sigma) tells the same direction at a fraction of the work. */
const COARSE_SIGMA = 2.5;

/**
 * Direction of the strokes at each pixel (unit vector along the stroke), from the structure tensor of the distance map
 * (Bigün & Granlund 1987). @param depthPx Distance to the outside, px. @param sigmaPx Size of the neighbourhood.
 */
export function strokeDirection(depthPx: Float32Array, w: number, h: number, sigmaPx: number): StrokeDirection {
  const f = Math.max(1, Math.floor(sigmaPx / COARSE_SIGMA));
  const across = Math.ceil(w / f);
  const down = Math.ceil(h / f);
  const xx = new Float32Array(across * down);
  const xy = new Float32Array(across * down);
  const yy = new Float32Array(across * down);
  for (let y = 1; y < h - 1; y++) {
    const row = Math.floor(y / f) * across;
    for (let x = 1; x < w - 1; x++) {
      const i = y * w + x;
      if (depthPx[i] === 0) continue;
      const gx = depthPx[i + 1] - depthPx[i - 1];
      const gy = depthPx[i + w] - depthPx[i - w];
      const j = row + (f === 1 ? x : Math.floor(x / f));
      xx[j] += gx * gx;
      xy[j] += gx * gy;
      yy[j] += gy * gy;
    }
  }
  for (const part of [xx, xy, yy]) gaussianSmooth(part, across, down, sigmaPx / f, part);
  const outX = new Float32Array(w * h);
  const outY = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const v = Math.min(down - 1, Math.max(0, (y + 0.5) / f - 0.5));
    const top = Math.min(Math.max(0, down - 2), Math.floor(v));
    const below = top + 1 < down ? across : 0;
    const t = v - top;
    for (let x = 0; x < w; x++) {
      const i = y * w + x;
      if (depthPx[i] === 0) continue;
      const u = Math.min(across - 1, Math.max(0, (x + 0.5) / f - 0.5));
      const left = Math.min(Math.max(0, across - 2), Math.floor(u));
      const right = left + 1 < across ? 1 : 0;
      const j = top * across + left;
      const s = u - left;
      const a = (1 - t) * (1 - s);
      const b = (1 - t) * s;
      const c = t * (1 - s);
      const d = t * s;
      const k = j + right;
      const l = j + below;
      const m = l + right;
      const sum = a * xy[j] + b * xy[k] + c * xy[l] + d * xy[m];
      const difference = a * (xx[j] - yy[j]) + b * (xx[k] - yy[k]) + c * (xx[l] - yy[l]) + d * (xx[m] - yy[m]);
      // Half of the angle whose cosine and sine go with `difference` and `sum`.
      const length = Math.sqrt(4 * sum * sum + difference * difference);
      const cosine = length > 0 ? difference / length : 1;
      const sine = Math.sqrt(Math.max(0, (1 - cosine) / 2));
      outX[i] = sum < 0 ? sine : -sine;
      outY[i] = Math.sqrt(Math.max(0, (1 + cosine) / 2));
    }
  }
  return { x: outX, y: outY };
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
  const { widthPx: w, heightPx: h, data: within } = inside;
  const out = new Float32Array(3 * indices.length);
  for (let k = 0; k < indices.length; k++) {
    const i = indices[k];
    const x0 = i % w;
    const y0 = (i - x0) / w;
    const dx = direction.x[i];
    const dy = direction.y[i];
    let a = data[3 * i] * kernel[0];
    let b = data[3 * i + 1] * kernel[0];
    let c = data[3 * i + 2] * kernel[0];
    let total = kernel[0];
    for (let side = -1; side <= 1; side += 2) {
      for (let s = 1; s < kernel.length; s++) {
        const x = Math.round(x0 + side * s * dx);
        const y = Math.round(y0 + side * s * dy);
        if (x < 0 || y < 0 || x >= w || y >= h) break;
        const j = y * w + x;
        if (!within[j]) continue;
        a += data[3 * j] * kernel[s];
        b += data[3 * j + 1] * kernel[s];
        c += data[3 * j + 2] * kernel[s];
        total += kernel[s];
      }
    }
    out[3 * k] = a / total;
    out[3 * k + 1] = b / total;
    out[3 * k + 2] = c / total;
  }
  return out;
}
