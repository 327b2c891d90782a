/** A known tone curve as the few knots of a `ToneCurve` that stand for it. */
import { labCurve } from '../colour/lab.ts';
import type { ToneCurve } from './calibration.ts';
import { curveFunction } from './toneCurve.ts';

/** What the knots may miss of the curve, as lightness: a fraction of what a step of 16 bits is in the shadows. */
const MOST_MISSED_L = 0.001;
/** No device tells finer. */
const FINEST_STEP = 1 / 65535;
const FIRST_KNOTS = 33;
const MOST_KNOTS = 1500;
const MOST_ROUNDS = 16;

/**
 * Knots crowd where the curve bends; between them the tone curve misses less than a thousandth of L*.
 * @param signal device 0..1 → linear signal
 */
export function curveKnots(signal: (device: number) => number): ToneCurve {
  // More near black, where a step of the device is most lightness.
  let device = Array.from({ length: FIRST_KNOTS }, (_, i) => (i / (FIRST_KNOTS - 1)) ** 2);
  for (let round = 0; ; round++) {
    const curve: ToneCurve = { device, linear: device.map(signal), exponent: 1, flare: 0 };
    const at = curveFunction(curve);
    const finer = device.flatMap((from, i) => {
      const to = device[i + 1] ?? from;
      if (to - from < 2 * FINEST_STEP) return [from];
      const misses = [0.25, 0.5, 0.75].some((t) => {
        const x = from + t * (to - from);
        return 116 * Math.abs(labCurve(at(x)) - labCurve(Math.max(0, signal(x)))) > MOST_MISSED_L;
      });
      return misses ? [from, (from + to) / 2] : [from];
    });
    if (finer.length === device.length || finer.length > MOST_KNOTS || round === MOST_ROUNDS) return curve;
    device = finer;
  }
}

/** device^gamma: straight in its own root, so that two knots are the curve itself. */
export function powerCurve(gamma: number): ToneCurve {
  return { device: [0, 1], linear: [0, 1], exponent: gamma, flare: 0 };
}
