/** How many of a sample's pixels are how light: what a plot of dark and light within a stroke is drawn from. */
import { labCurve } from '../colour/lab.ts';

/** `counts[k]` pixels have L* from `firstL + k · stepL` up to the next step. */
export interface Lightness {
  readonly firstL: number;
  readonly stepL: number;
  readonly counts: readonly number[];
}

/** @param xyz Interleaved, Y = 1 for the perfect diffuser. */
export function lightnessOf(xyz: Float32Array, stepL = 0.5): Lightness {
  const bins = new Map<number, number>();
  countInto(bins, xyz, stepL);
  if (bins.size === 0) return { firstL: 0, stepL, counts: [] };
  const first = Math.min(...bins.keys());
  const last = Math.max(...bins.keys());
  const counts = Array.from({ length: last - first + 1 }, (_, k) => bins.get(first + k) ?? 0);
  return { firstL: first * stepL, stepL, counts };
}

/** By itself, so that nothing stands behind the loop when it is compiled. */
function countInto(bins: Map<number, number>, xyz: Float32Array, stepL: number): void {
  for (let i = 1; i < xyz.length; i += 3) {
    const bin = Math.floor((116 * labCurve(xyz[i]) - 16) / stepL);
    bins.set(bin, (bins.get(bin) ?? 0) + 1);
  }
}
