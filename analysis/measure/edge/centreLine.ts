/** The middle of each stroke as a smooth line with normals, from the skeleton's branches. */
import { localFit } from './localFit.ts';

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

/** Of half a window: the fit is smooth over its window, and between fitted stations lies a cubic. */
const FITTED_EVERY = 0.2;

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
  const stride = Math.max(1, Math.floor(half * FITTED_EVERY));
  const fx = localFit(even.x, half, stride);
  const fy = localFit(even.y, half, stride);
  const n = even.x.length;
  const nx = new Float64Array(n);
  const ny = new Float64Array(n);
  const turn = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const dx = fx.slope[i];
    const dy = fy.slope[i];
    const length = Math.sqrt(dx * dx + dy * dy) || 1;
    nx[i] = -dy / length;
    ny[i] = dx / length;
    turn[i] = (dx * fy.second[i] - dy * fx.second[i]) / (length * length * length);
  }
  return { x: fx.value, y: fy.value, nx, ny, turn, stepPx: even.stepPx, aimedStepPx: stepPx, freeStart, freeEnd };
}

function wayAlong(x: Float64Array, y: Float64Array): Float64Array {
  const way = new Float64Array(x.length);
  for (let i = 1; i < x.length; i++) {
    const dx = x[i] - x[i - 1];
    const dy = y[i] - y[i - 1];
    way[i] = way[i - 1] + Math.sqrt(dx * dx + dy * dy);
  }
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
