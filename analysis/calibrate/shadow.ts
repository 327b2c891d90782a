/** Bare card whose light no low-order surface follows: a shadow's edge, or a card that bends away from the glass. */
import type { SurroundReading, ToneCurve } from './calibration.ts';
import { linearLight } from './flatFieldFit.ts';

const FEWEST = 12;
/** Neighbours on a shaded card differ by a small part of what the whole differs by; on a printed surround they differ as much. */
const SMOOTH = 0.35;

/** @returns largest over smallest light (95th over 5th percentile) minus 1; null when the surround is printed, or says too little */
export function shadowOver(
  surround: readonly SurroundReading[],
  curves: readonly [ToneCurve, ToneCurve, ToneCurve],
): number | null {
  if (surround.length < FEWEST) return null;
  const light = linearLight(surround, curves).map(([, green]) => Math.log(Math.max(green, 1e-4)));
  const steps = surround.map(({ placeMm }, i) => {
    let nearest = Infinity;
    let step = 0;
    surround.forEach((other, j) => {
      const distance = Math.hypot(other.placeMm[0] - placeMm[0], other.placeMm[1] - placeMm[1]);
      if (i === j || distance >= nearest) return;
      nearest = distance;
      step = Math.abs(light[i] - light[j]);
    });
    return step;
  });
  const sorted = [...light].sort((a, b) => a - b);
  const at = (q: number): number => sorted[Math.floor(q * (sorted.length - 1))];
  const range = at(0.95) - at(0.05);
  steps.sort((a, b) => a - b);
  return steps[Math.floor(0.75 * steps.length)] < SMOOTH * range ? Math.exp(range) - 1 : null;
}
