/** A gentle bend of a tone curve: signal → signal · exp(polynomial) + offset. A calibration's greys are not flat, so neither are its curves quite straight. */

export interface Bend {
  /** Of 1, t, t², t³ with t = ∛signal − ½. */
  readonly coefficients: readonly number[];
  /** Beyond these signals the end's factor is held. */
  readonly range: readonly [number, number];
  /** Light that the calibration's curve holds as stray, or fails to: dark greys that are not flat shift each channel by another. Perfect white 1. @default 0 */
  readonly offset?: number;
  /** What is taken off the calibration's curve before it is bent. */
  readonly wave?: Wave | null;
}

/** Logarithm of a factor on a signal, by points: straight between them, held beyond the ends. */
export interface Wave {
  /** Rising. */
  readonly signals: readonly number[];
  readonly logs: readonly number[];
}

/** How far a calibration's curve may be from straight, per term (standard deviations): a share that grows towards black. */
export const BEND_SD = [0.03, 0.1, 0.3, 0.8] as const;
export const BEND_TERMS = BEND_SD.length;

/** Of an offset: 0.001 to 0.004 do alike (standard deviation; curves of 60 devices, seeds 420–449). */
export const OFFSET_SD = 0.002;

/** One channel's signal (linear, 1 for perfect white) as its curve was meant: wave off, bent, offset on. */
export function bent(signal: number, bend: Bend): number {
  const even = evened(signal, bend.wave ?? null);
  const terms = bendTerms(even, bend);
  return even * Math.exp(bend.coefficients.reduce((sum, a, k) => sum + a * terms[k], 0)) + (bend.offset ?? 0);
}

/** All three channels; what the film fit takes every signal through, bare paper's too. */
export function straightened(
  signal: readonly [number, number, number],
  bends: readonly [Bend, Bend, Bend],
): [number, number, number] {
  return [bent(signal[0], bends[0]), bent(signal[1], bends[1]), bent(signal[2], bends[2])];
}

/** A linear signal without the wave of its curve. */
export function evened(signal: number, wave: Wave | null): number {
  if (wave === null) return signal;
  const { signals, logs } = wave;
  const after = signals.findIndex((x) => x > signal);
  if (after === 0) return signal * Math.exp(logs[0]);
  if (after < 0) return signal * Math.exp(logs[logs.length - 1]);
  const share = (signal - signals[after - 1]) / (signals[after] - signals[after - 1]);
  return signal * Math.exp(logs[after - 1] + share * (logs[after] - logs[after - 1]));
}

/** 1, t, t², t³ of a bend at a linear signal, which its range holds. */
export function bendTerms(signal: number, { range }: Bend): number[] {
  const t = Math.cbrt(Math.min(range[1], Math.max(range[0], signal))) - 0.5;
  return [1, t, t * t, t ** 3];
}
