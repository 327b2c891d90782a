/** Where a device cuts at black: a driver's matrix makes some colours' signals negative, which a file cannot hold. */

type Triple = readonly [number, number, number];

/** Below this nothing is told in any case. */
const BLACK = 0.004;
/** Signals this close to the lowest are the same. */
const ALIKE = 0.0012;
/** As many patches at one lowest signal are no chance. */
const FEWEST_CUT = 3;

/** Per channel: a signal below this says only that the light was as little or less. @param signals of a target's patches, as calibrated */
export function blackLevels(signals: readonly Triple[]): [number, number, number] {
  const level = (c: 0 | 1 | 2): number => {
    const lowest = Math.min(...signals.map((signal) => signal[c]));
    const alike = signals.filter((signal) => signal[c] <= lowest + ALIKE).length;
    return alike >= FEWEST_CUT ? Math.max(BLACK, lowest + ALIKE) : BLACK;
  };
  return [level(0), level(1), level(2)];
}
