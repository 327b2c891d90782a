/** What the window is told of an ink's film fits: GET /api/inks/:ink/film. */
import type { LabValue } from '../../analysis/quantity.ts';

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

/** Dose to colour on one paper. */
export interface FilmCurve {
  readonly paper: string;
  readonly scan: string;
  readonly paperLab: LabValue;
  /** Rising; 1 is the median dose of what was measured. */
  readonly doses: readonly number[];
  readonly lab: readonly LabValue[];
  readonly u: readonly LabValue[];
  /** Doses that were seen on this paper; the rest of the curve is foretold. */
  readonly seen: readonly [from: number, to: number];
}

/** A region's colours as the fit tells them: what RegionDetail.ink holds by the map. */
export interface FilmEnds {
  readonly region: string;
  readonly lab: LabValue;
  readonly paper: LabValue;
  /** About the 10th and the 90th percentile of L*. */
  readonly dark: LabValue;
  readonly light: LabValue;
}

/** One dose that was measured. */
export interface FilmPoint {
  readonly region: string;
  readonly paper: string;
  readonly dose: number;
  readonly lab: LabValue;
  /** The same by the target's map. */
  readonly byMap: LabValue;
  /** Root mean square of its three signals' misfit, in standard deviations. */
  readonly misfit: number;
}
