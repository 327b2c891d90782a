/** One pass of a pen over a printed bar and over the white paper beside it, as the fit of R0 and T is given it. */
import type { PenBar } from './pen.ts';

export type MeasuredBar = Omit<PenBar, 'region'>;
