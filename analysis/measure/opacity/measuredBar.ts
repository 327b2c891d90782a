/** One pass of a pen over a printed bar and over the white paper beside it: as the fit of R0 and T is given it, and as the fit of an ink's film is. */
import type { PenBar } from './pen.ts';

type Triple = readonly [number, number, number];

export interface MeasuredBar extends Omit<PenBar, 'region'> {
  readonly signals: BarSignals;
}

/** Mean linear signals; the ink's without what is blurred in from beside it. */
export interface BarSignals {
  readonly paper: Triple;
  readonly print: Triple;
  readonly onPaper: Triple;
  readonly onPrint: Triple;
  /** Standard uncertainty of the ratio by what the target's greys leave open below the darkest of them. */
  readonly uDark: number;
}
