/** Smoothing along strokes only: fibres and scanner noise average out, what differs across or along the stroke stays. */
import { gaussianKernel, gaussianSmooth } from './gaussian.ts';
import type { Mask } from './raster.ts';

/** A unit vector per pixel; zero off the strokes. */
export interface StrokeDirection {
  readonly x: Float32Array;
  readonly y: Float32Array;
}

/**
 * Direction of the strokes at each pixel (unit vector along the stroke), from the structure tensor of the distance map
 * (Bigün & Granlund 1987). @param depthPx Distance to the outside, px. @param sigmaPx Size of the neighbourhood.
 */
export function strokeDirection(depthPx: Float32Array, w: number, h: number, sigmaPx: number): StrokeDirection {
  const n = w * h;
  const xx = new Float32Array(n);
  const xy = new Float32Array(n);
  const yy = new Float32Array(n);
  for (let y = 1; y < h - 1; y++) {
    for (let x = 1; x < w - 1; x++) {
      const i = y * w + x;
      if (depthPx[i] === 0) continue;
      const gx = depthPx[i + 1] - depthPx[i - 1];
      const gy = depthPx[i + w] - depthPx[i - w];
      xx[i] = gx * gx;
      xy[i] = gx * gy;
      yy[i] = gy * gy;
    }
  }
  for (const part of [xx, xy, yy]) gaussianSmooth(part, w, h, sigmaPx, part);
  // The tensor's room serves for what is read off it.
  for (let i = 0; i < n; i++) {
    const across = 0.5 * Math.atan2(2 * xy[i], xx[i] - yy[i]);
    xx[i] = depthPx[i] === 0 ? 0 : -Math.sin(across);
    yy[i] = depthPx[i] === 0 ? 0 : Math.cos(across);
  }
  return { x: xx, y: yy };
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
    for (const side of [-1, 1]) {
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
