/** What is left in doubt of a difference between two colours that went through one calibration: its error is common to both. */

/** What is left of the doubt when two colours of one ink lie on one scan: scale · ΔE00^power. */
const ONE_PAPER = { scale: 0.13, power: 0.65 };
const TWO_PAPERS = { scale: 0.28, power: 0.42 };

/** What two colours have in common: two doses of one ink on one paper, most; one ink on two papers; two inks, or ink and paper, least. */
export type Common = 'one paper' | 'two papers' | 'two inks';

/** What a colour's calibration leaves open of differences to others through it: all that those need of the calibration. */
export interface SharedDoubt {
  /** Of the colour alone, ΔE00: if nothing cancelled. */
  readonly alone: number;
  /** How much better or worse than the usual calibration, and, without a target, the share of the difference that is in doubt besides. */
  readonly teaching: number;
  readonly worse: number;
  readonly share: number;
}

/** Standard uncertainty in ΔE00 of a difference between two samples of one ink. @param a @param b through one calibration */
export function sharedDifference(
  dE00: number,
  a: SharedDoubt,
  b: SharedDoubt,
  common: Exclude<Common, 'two inks'>,
): number {
  const most = Math.SQRT2 * Math.max(a.alone, b.alone);
  const { scale, power } = common === 'one paper' ? ONE_PAPER : TWO_PAPERS;
  return Math.min(most, (a.share * dE00 + a.teaching * scale * dE00 ** power) * a.worse);
}
