/** The middle of each stroke as a smooth line with normals, from the skeleton's branches. */
import { localFit } from './localFit.ts';
import type { SkeletonPath } from './skeletonPath.ts';

/** Stations along one stroke, a fixed step apart. Places in px of the region, pixel centres at whole numbers. */
export interface CentreLine {
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Unit normal, to the right of the way (y points down). */
  readonly nx: Float64Array;
  readonly ny: Float64Array;
  /** One over the radius of the bend, per px; positive where the line bends towards its normal. */
  readonly turn: Float64Array;
  readonly stepPx: number;
  /** Lies as near to it as its length allows. */
  readonly aimedStepPx: number;
  /** Ends in the open, not at a junction. */
  readonly freeStart: boolean;
  readonly freeEnd: boolean;
}

/** @param smoothPx Half the window over which the skeleton's steps are smoothed. */
export function centreLines(
  paths: readonly SkeletonPath[],
  widthPx: number,
  stepPx: (path: number) => number,
  smoothPx: (pixel: number) => number,
): CentreLine[] {
  const lines: CentreLine[] = [];
  for (const [path, { pixels, freeStart, freeEnd }] of paths.entries()) {
    const x = Float64Array.from(pixels, (p) => p % widthPx);
    const y = Float64Array.from(pixels, (p) => Math.floor(p / widthPx));
    let window = 0;
    for (const p of pixels) window += smoothPx(p) / pixels.length;
    lines.push(lineThrough(x, y, Math.max(2, window), stepPx(path), freeStart, freeEnd));
  }
  return lines;
}

/** A smooth line near these places, which follow one another at about even steps; stations `stepPx` apart. */
export function lineThrough(
  x: Float64Array,
  y: Float64Array,
  halfWindowPx: number,
  stepPx: number,
  freeStart: boolean,
  freeEnd: boolean,
): CentreLine {
  const way = wayAlong(x, y);
  const even = resampled(x, y, way, stepPx);
  const half = Math.max(2, Math.round(halfWindowPx / stepPx));
  const fx = localFit(even.x, half);
  const fy = localFit(even.y, half);
  const n = even.x.length;
  const nx = new Float64Array(n);
  const ny = new Float64Array(n);
  const turn = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const length = Math.hypot(fx.slope[i], fy.slope[i]) || 1;
    nx[i] = -fy.slope[i] / length;
    ny[i] = fx.slope[i] / length;
    turn[i] = (fx.slope[i] * fy.second[i] - fy.slope[i] * fx.second[i]) / length ** 3;
  }
  return { x: fx.value, y: fy.value, nx, ny, turn, stepPx: even.stepPx, aimedStepPx: stepPx, freeStart, freeEnd };
}

function wayAlong(x: Float64Array, y: Float64Array): Float64Array {
  const way = new Float64Array(x.length);
  for (let i = 1; i < x.length; i++) way[i] = way[i - 1] + Math.hypot(x[i] - x[i - 1], y[i] - y[i - 1]);
  return way;
}

function resampled(
  x: Float64Array,
  y: Float64Array,
  way: Float64Array,
  stepPx: number,
): { x: Float64Array; y: Float64Array; stepPx: number } {
  const length = way[way.length - 1];
  const n = Math.max(2, Math.round(length / stepPx) + 1);
  const step = length / (n - 1);
  const outX = new Float64Array(n);
  const outY = new Float64Array(n);
  for (let i = 0, k = 0; i < n; i++) {
    while (k < way.length - 2 && way[k + 1] < i * step) k++;
    const part = Math.min(1, Math.max(0, (i * step - way[k]) / Math.max(1e-9, way[k + 1] - way[k])));
    outX[i] = x[k] + part * (x[k + 1] - x[k]);
    outY[i] = y[k] + part * (y[k + 1] - y[k]);
  }
  return { x: outX, y: outY, stepPx: step };
}
