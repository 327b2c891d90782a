/** What the window is told of an ink's film fits: GET /api/inks/:ink/film. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { FittedCurve, FittedEnds, FittedPoint } from '../../analysis/measure/film/fittedInk.ts';

export interface FilmAnswer {
  /** One a fit: scans with one target between them are fitted together, others apart. Empty: no fit was possible. */
  readonly fits: readonly FilmOfInk[];
  /** Why regions are told by the target's map instead, and what would change that; one line each, plain words. */
  readonly missing: readonly { readonly regions: readonly string[]; readonly words: string }[];
}

export interface FilmOfInk {
  /** Regions whose colours come from this fit. */
  readonly regions: readonly string[];
  /** What taught the scanner's sensitivities: the target's spectra, or its Lab alone (the weaker form). */
  readonly taughtBy: 'spectra' | 'lab';
  readonly absorption: {
    readonly nm: readonly number[];
    /** k(λ), 1 at its maximum. */
    readonly k: readonly number[];
    /** Standard uncertainty. */
    readonly u: readonly number[];
  };
  /** One a paper. */
  readonly curves: readonly FilmCurve[];
  readonly points: readonly FilmPoint[];
  /** One a region that lies on the curve. */
  readonly ends: readonly FilmEnds[];
  readonly quality: {
    /** Chi-square over what is expected of it; about 1 for an ink that is one film. */
    readonly ratio: number;
    readonly verdict: string;
    /** Regions that do not lie on the ink's own curve, most first, each with a plain reason. */
    readonly misfits: readonly { readonly region: string; readonly words: string }[];
  };
  /** What would make the colours surer: 'A graded swab on one sheet would halve this uncertainty.'; null: nothing obvious. */
  readonly advice: string | null;
}

/** Dose to colour on one paper: what lies beyond the doses seen is foretold. */
export interface FilmCurve extends Omit<FittedCurve, 'regions'> {
  readonly paper: string;
  readonly scan: string;
}

/** A region's colours as the fit tells them: what RegionDetail.ink holds by the map. */
export type FilmEnds = FittedEnds;

/** One dose that was measured. */
export interface FilmPoint extends FittedPoint {
  readonly paper: string;
  /** Standard uncertainty of `byMap`, as the calibration has it there; null: that is no longer known. */
  readonly byMapU: LabValue | null;
}
