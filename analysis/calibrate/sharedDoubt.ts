/** What is left in doubt of a difference between two colours that went through one calibration: its error is common to both. */

/** What is left of the doubt when two colours of one ink lie on one scan: scale · ΔE00^power. */
const ONE_PAPER = { scale: 0.13, power: 0.65 };
const TWO_PAPERS = { scale: 0.28, power: 0.42 };

/**
 * Of two doses on one paper the dark one has turned further for the same ΔE00, since ink saturates: below L* 25 a way counts the more the darker it is,
 * up to so many times more at black (docs/decisions/0033-a-path-foretold-bends.md).
 */
const DARK = { belowL: 25, more: 3 };

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
  /** L* of the colour. */
  readonly lightness: number;
  /** How many times the doubt that a colour among the target's own has (uncertainty.ts). */
  readonly outside: number;
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
  const way = common === 'one paper' ? dE00 * stretchBetween(a.lightness, b.lightness) : dE00;
  const outside = Math.max(a.outside, b.outside);
  return Math.min(most, (a.share * dE00 + a.teaching * scale * way ** power * outside) * a.worse);
}

/** Mean over the lightnesses between two colours. */
function stretchBetween(a: number, b: number): number {
  const [from, to] = [a, b].map((L) => Math.min(DARK.belowL, Math.max(0, L)));
  const span = Math.abs(a - b);
  // Of what lies below the limit the mean shortfall is that of its middle.
  const shortfall = 1 - (from + to) / 2 / DARK.belowL;
  const dark = span > 0 ? Math.min(1, Math.abs(from - to) / span) : 1;
  return 1 + DARK.more * shortfall * dark;
}
