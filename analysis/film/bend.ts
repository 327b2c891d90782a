/** A gentle bend of a tone curve: signal → signal · exp(polynomial). A calibration's greys are not flat, so neither are its curves quite straight. */

export interface Bend {
  /** Of 1, t, t², t³ with t = ∛signal − ½. */
  readonly coefficients: readonly number[];
  /** Beyond these signals the end's factor is held. */
  readonly range: readonly [number, number];
}

/** How far a calibration's curve may be from straight, per term (standard deviations): a share that grows towards black. */
export const BEND_SD = [0.03, 0.1, 0.3, 0.8] as const;
export const BEND_TERMS = BEND_SD.length;

export function bent(signal: number, bend: Bend): number {
  const terms = bendTerms(signal, bend);
  return signal * Math.exp(bend.coefficients.reduce((sum, a, k) => sum + a * terms[k], 0));
}

export function straightened(
  signal: readonly [number, number, number],
  bends: readonly [Bend, Bend, Bend],
): [number, number, number] {
  return [bent(signal[0], bends[0]), bent(signal[1], bends[1]), bent(signal[2], bends[2])];
}

export function bendTerms(signal: number, { range }: Bend): number[] {
  const t = Math.cbrt(Math.min(range[1], Math.max(range[0], signal))) - 0.5;
  return [1, t, t * t, t ** 3];
}
