/**
 * Standard deviation that a region's mean signal is trusted to: not the pixels' noise, which averages out, but what tone curve, stray
 * light and the model itself leave. Assumed rather too large than too small: three times too little costs coverage and tail.
 */
export const NOISE = { floor: 2e-3, share: 0.006 } as const;

/** Below this a device may cut: such a signal says only that it is small. */
const BLACK = 0.003;
const CUT_NOISE = 0.02;

/** @param signal linear, 1 for perfect white */
export function signalNoise(signal: number): number {
  if (signal < BLACK) return CUT_NOISE;
  return Math.hypot(NOISE.floor, NOISE.share * signal);
}
