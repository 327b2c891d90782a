/** The one shape of everything that Wetline measures; nothing is shown or stored without it. */

export type Unit = 'ΔE00' | 'ΔL*' | 'Lab' | 'mm' | 'mm/√s' | 'mm²' | '/cm' | 'nm' | '1' | 'dots' | '%' | 's' | '°';

/** Names of docs/measures.md; parts follow a dot. */
export type QuantityName =
  | 'paperColour'
  | 'paperTexture'
  | 'inkColour'
  | 'inkColour.hue'
  | 'inkColour.chroma'
  | 'inkDensity'
  | 'shading'
  | 'shading.dL'
  | 'shading.dHue'
  | 'nibShading'
  | 'swabVariation'
  | 'swabVariation.dL'
  | 'layering'
  | 'lineWidth'
  | 'lineWidth.sd'
  | 'lineWidth.at60'
  | 'spread'
  | 'raggedness'
  | 'feathering'
  | 'feathering.hairs'
  | 'edgeBlur'
  | 'halo'
  | 'halo.dE'
  | 'halo.hue'
  | 'sheen'
  | 'pathDistance'
  | 'ghosting'
  | 'ghosting.printThrough'
  | 'bleedThrough'
  | 'bleedThrough.dots'
  | 'bleedThrough.area'
  | 'bleedThrough.next'
  | 'bleedThrough.nextArea'
  | 'toneShift'
  | 'toneShift.adapted'
  | 'toneShift.dL'
  | 'toneShift.dC'
  | 'toneShift.dHue'
  | 'film'
  | 'contrastRatio'
  | 'contrastRatio.predicted'
  | 'hiding'
  | 'hiding.predicted'
  | 'predictedColour'
  | 'predictedColour.error'
  | 'absorption'
  | 'doseCurve'
  | 'fitQuality'
  | 'bandPosition'
  | 'bandPosition.centroid'
  | 'bandWidth'
  | 'bandTail'
  | 'bandColour'
  | 'bandShare'
  | 'bandResolution'
  | 'originRetained'
  | 'runShift'
  | 'runShift.share'
  | 'runShift.originRetained'
  | 'runShift.front'
  | 'frontSpeed'
  | 'frontSpeed.line';

/** Why a number deserves care; docs/measures.md explains each. */
export type Flag =
  | 'uncalibrated'
  | 'poor-calibration'
  | 'settings-changed'
  | 'lossy'
  | 'sharpened'
  | 'resampled'
  | 'outside-target-gamut'
  | 'maybe-brightened'
  | 'clipped'
  | 'below-resolution'
  | 'blur-corrected'
  | 'few-pixels'
  | 'no-ink'
  | 'no-swab'
  | 'several-swabs'
  | 'no-bare-paper'
  | 'not-uniform'
  | 'crossings-left-out'
  | 'other-marks-left-out'
  | 'shared-ink'
  | 'no-crossings'
  | 'beside-halo'
  | 'no-nib-width'
  | 'nib-width-doubtful'
  | 'lower-bound'
  | 'another-ink'
  | 'with-sheen'
  | 'not-registered'
  | 'unmirrored'
  | 'no-front'
  | 'grounds-alike'
  | 'no-bar'
  | 'no-pass'
  | 'by-grounds'
  | 'not-checked'
  | 'by-map'
  | 'few-doses'
  | 'lab-alone'
  | 'narrow-absorption'
  | 'film-misfit'
  | 'film-not-converged'
  | 'found'
  | 'origin-not-found'
  | 'front-not-found'
  | 'no-bands'
  | 'overlapped'
  | 'saturated'
  | 'cannot-tell'
  | 'unmatched'
  | 'by-hand'
  | 'no-strip'
  | 'strip-cut-off'
  | 'front-off-strip'
  | 'origin-submerged'
  | 'runs-other-way'
  | 'shadow';

/** [L*, a*, b*] under D50, 2° observer, as plain numbers (a Quantity is data, not a branded colour). */
export type LabValue = readonly [L: number, a: number, b: number];

export interface Subject {
  /** Region ids of the sheet, in the order that the definition names them. */
  readonly regions: readonly string[];
  /** Bands of a strip count from 1 by R_F. */
  readonly band?: number;
  /** Of what was foretold: the paper's name, where none of the regions lies. */
  readonly on?: string;
}

/** The three parts of a standard uncertainty, kept apart (same unit as the value; per component for Lab). */
export interface UncertaintyParts {
  readonly repeatability: number | LabValue;
  readonly calibration: number | LabValue;
  readonly placement: number | LabValue;
}

/** One axis and what was told along it; all columns are as long as the axis. */
export interface Curve {
  readonly x: CurveColumn;
  readonly y: readonly (CurveColumn & {
    /** Standard uncertainty (k = 1), same unit. */
    readonly u: readonly number[];
  })[];
}
export interface CurveColumn {
  /** For instance 'wavelength', 'L*'. */
  readonly name: string;
  readonly unit: Unit;
  readonly values: readonly number[];
}

export interface Quantity {
  readonly quantity: QuantityName;
  readonly subject: Subject;
  /** null: cannot be told, and `flags` says why. */
  readonly value: number | LabValue | null;
  readonly unit: Unit;
  /** Standard uncertainty (k = 1), same unit, per component for Lab; shown as ± 2u. */
  readonly u: number | LabValue | null;
  readonly uParts?: UncertaintyParts;
  /** The trade's word, from limits that are settings and are printed with it; of a colour, its ISCC–NBS name. */
  readonly verdict?: string;
  /** The limits that the verdict used, so that a reader can judge the word. */
  readonly limits?: readonly number[];
  readonly flags: readonly Flag[];
  /** A whole curve where the value is but its summary. */
  readonly curve?: Curve;
  /** The same by the target's map, where the value itself is by the film fit; the two are never mixed in one difference. */
  readonly byMap?: Pick<Quantity, 'value' | 'u' | 'method'>;
  /** For instance 'shading/1': bumped whenever the same input would give another number. */
  readonly method: string;
}
