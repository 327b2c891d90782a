/**
 * Whether a colour lies among the target's colours: the convex body that they span, taken in cube roots of the signals
 * (about even steps to the eye), seen from 500 fixed directions. So seen it is a little larger than the true hull,
 * never smaller.
 */

export interface TargetHull {
  holds(signal: readonly [number, number, number]): boolean;
  /** How far outside a colour lies, in cube roots of its signals; 0 inside. */
  outside(signal: readonly [number, number, number]): number;
}

/** How far outside still counts as inside, in cube-root signal: about 1 L* along the grey axis. */
export const HULL_MARGIN = 0.01;

const DIRECTIONS = 500;

/** @param signals three linear signals or XYZ a colour, 1 for perfect white */
export function targetHull(signals: readonly (readonly [number, number, number])[]): TargetHull {
  const directions = evenDirections(DIRECTIONS);
  const reach = new Float64Array(DIRECTIONS).fill(-Infinity);
  for (const signal of signals) {
    const p = roots(signal);
    for (let i = 0; i < DIRECTIONS; i++) reach[i] = Math.max(reach[i], along(directions, i, p));
  }
  return {
    holds(signal) {
      const p = roots(signal);
      for (let i = 0; i < DIRECTIONS; i++) if (along(directions, i, p) > reach[i] + HULL_MARGIN) return false;
      return true;
    },
    outside(signal) {
      const p = roots(signal);
      let most = 0;
      for (let i = 0; i < DIRECTIONS; i++) most = Math.max(most, along(directions, i, p) - reach[i]);
      return most;
    },
  };
}

/** Fibonacci's spiral on the sphere. */
function evenDirections(count: number): Float64Array {
  const out = new Float64Array(3 * count);
  const turn = Math.PI * (3 - Math.sqrt(5));
  for (let i = 0; i < count; i++) {
    const z = 1 - (2 * i + 1) / count;
    const radius = Math.sqrt(1 - z * z);
    out[3 * i] = radius * Math.cos(turn * i);
    out[3 * i + 1] = radius * Math.sin(turn * i);
    out[3 * i + 2] = z;
  }
  return out;
}

function roots(signal: readonly [number, number, number]): readonly [number, number, number] {
  return [Math.cbrt(signal[0]), Math.cbrt(signal[1]), Math.cbrt(signal[2])];
}

function along(directions: Float64Array, i: number, p: readonly [number, number, number]): number {
  return directions[3 * i] * p[0] + directions[3 * i + 1] * p[1] + directions[3 * i + 2] * p[2];
}
