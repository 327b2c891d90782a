/** What a calibration is: a function from device values to linear signals to XYZ (D50), with its own report card. */
import type { LabD50 } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';

/** A layout file, `wetline-target/1`. Coordinates mm, x right, y down; four points top left, top right, bottom right, bottom left. */
export interface TargetLayout {
  readonly format: 'wetline-target/1';
  readonly name: string;
  readonly pointsMm: readonly [PointMm, PointMm, PointMm, PointMm];
  /** Dark discs at the four points; the first has a light eye. Left out: the points are grid corners. */
  readonly fiducial?: { readonly shape: 'disc'; readonly radiusMm: number; readonly eyeMm: number };
  /** A box with one straight, slightly turned edge from dark to bare card through its middle: what the scanner's blur is read from. */
  readonly slantedEdge?: { readonly boxMm: BoxMm };
  readonly patches: readonly { readonly id: string; readonly boxMm: BoxMm; readonly grey?: boolean }[];
}
export type PointMm = readonly [x: number, y: number];
export type BoxMm = readonly [x: number, y: number, width: number, height: number];

/** Known values of a target's patches. */
export interface TargetReference {
  readonly patches: ReadonlyMap<string, ReferencePatch>;
  /** What reading the file had to do to it (adapted from another light, …), one clause each. */
  readonly notes?: readonly string[];
  /** What else its file calls a patch (SAMPLE_NAME, SAMPLE_LOC) → the patch's id above; counts only for matching it to a layout. */
  readonly otherNames?: ReadonlyMap<string, string>;
}
export interface ReferencePatch {
  readonly lab: LabD50;
  /** Standard uncertainty of the known value itself, per component; left out: of no account beside the scanner's. */
  readonly u?: LabValue;
  /** Reflectance 0..1 on the reference's own grid, when the file carries spectra. */
  readonly reflectance?: { readonly firstNm: number; readonly stepNm: number; readonly values: readonly number[] };
}

/** A patch as it was scanned: device values 0..1, from its inner 60 %. */
export interface PatchReading {
  readonly id: string;
  readonly grey: boolean;
  /** Trimmed mean per channel, device 0..1. */
  readonly device: readonly [number, number, number];
  /** Standard deviation of the pixels per channel, device 0..1. */
  readonly sd: readonly [number, number, number];
  readonly pixels: number;
  /** Share of pixels at an end of the scale, 0..1; above 0.005 the patch is refused. */
  readonly clippedShare: number;
  /** Centre in the scan, mm. */
  readonly centreMm: PointMm;
  /** How even the patch is inside; left out: unknown. */
  readonly evenness?: PatchEvenness;
}

export interface PatchEvenness {
  /** Largest difference between the trimmed means of the patch's four quarters, in any channel, device 0..1. */
  readonly quarterSpread: number;
  /** Share of pixels that are none of the patch's own: beyond its scatter and 0.06 of the scale from its median, 0..1. */
  readonly strayShare: number;
}

/** Unprinted card between or around the patches: what the light over the bed is read from. */
export interface SurroundReading {
  /** Trimmed mean per channel, device 0..1. */
  readonly device: readonly [number, number, number];
  readonly pixels: number;
  /** Centre in the scan, mm from its top-left corner. */
  readonly placeMm: PointMm;
}

export type ColourModelName = 'linear' | 'affine' | 'rootPolynomial2' | 'rootPolynomial3' | 'nominal';

/** Monotone curve device 0..1 → linear signal, by knots; between them and beyond as calibrate/toneCurve.ts says. */
export interface ToneCurve {
  readonly device: readonly number[];
  readonly linear: readonly number[];
  /** The curve is interpolated in (linear + flare)^(1/exponent). */
  readonly exponent: number;
  /** Stray light that the device adds to every signal, in linear units; 0 for most. */
  readonly flare: number;
}

/** Light over the bed: a low-order surface per channel in bed mm, mean 1 over where it was seen, held at its edges. */
export interface FlatField {
  /** Coefficients of 1, u, v, u², uv, v² with u, v = (mm − centreMm) / halfMm, clamped to [−1.2, 1.2]. */
  readonly coefficients: readonly (readonly number[])[];
  readonly centreMm: PointMm;
  readonly halfMm: PointMm;
  /** What the surface leaves: root mean square of the surround's relative departures from it, typical of one reading. */
  readonly residual: number;
  /** From a white sheet: the light itself at nodes from corner to corner of centre ± half, rows of columns a channel, read bilinearly instead of the coefficients. */
  readonly grid?: { readonly columns: number; readonly rows: number; readonly values: readonly (readonly number[])[] };
}

export interface PatchResult {
  readonly id: string;
  readonly reference: LabD50;
  /** Standard uncertainty of the known value itself, per component, where the reference says. */
  readonly referenceU?: LabValue;
  readonly fitted: LabD50;
  /** The same patch predicted by a fit that never saw it. */
  readonly leftOut: LabD50;
  readonly dE00Fitted: number;
  readonly dE00LeftOut: number;
  /** Trimmed mean and standard deviation of its pixels per channel, device 0..1: as scanned. */
  readonly device: readonly [number, number, number];
  readonly sd: readonly [number, number, number];
  readonly clippedShare: number;
  readonly flags: readonly PatchFlag[];
}

/** 'clipped' and 'covered' (something lies on it, or it is not even) were left out of every fit. */
export type PatchFlag = 'clipped' | 'covered' | 'not-monotone';

/** What the target's colours seem to be printed with: a few dyes teach inks worse than many pigments do. */
export interface TargetColorants {
  readonly kind: 'few-dyes' | 'varied' | 'cannot-tell';
  /** What told. */
  readonly by: 'spectra' | 'greys' | 'nothing';
}

/** How one pixel scatters on flat patches, in L*; the target's own grain counts as the scanner's. */
export interface PixelNoise {
  /** Standard deviation of L* of one pixel on the lightest and on the darkest patches. */
  readonly lightL: number;
  readonly darkL: number;
}

/** Something about the target or its scan that a person should mend or know. */
export interface Caution {
  readonly code:
    | 'other-target'
    | 'other-layout'
    | 'clipped'
    | 'overexposed'
    | 'underexposed'
    | 'uneven-light'
    | 'covered'
    | 'few-dyes'
    | 'doubtful-reference'
    | 'channels-exchanged'
    | 'not-neutral'
    | 'noisy'
    | 'blurred'
    | 'sharpened'
    | 'other-size';
  /** One line: what was found, what was expected, what to do. */
  readonly words: string;
}

export interface Calibration {
  readonly judgement: 'good' | 'usable' | 'poor' | 'none';
  readonly model: ColourModelName;
  readonly ridge: number;
  readonly curves: readonly [ToneCurve, ToneCurve, ToneCurve];
  /** 3 rows (X, Y, Z) × the model's terms. */
  readonly matrix: readonly (readonly number[])[];
  readonly flatField: FlatField | null;
  readonly patches: readonly PatchResult[];
  readonly leftOutMedian: number | null;
  readonly leftOutMean: number | null;
  readonly leftOut95: number | null;
  readonly leftOutMax: number | null;
  readonly greyMaxChroma: number | null;
  /** Every candidate with its left-out mean, best first. */
  readonly candidates: readonly {
    readonly model: ColourModelName;
    readonly ridge: number;
    readonly leftOutMean: number;
    readonly standardError: number;
  }[];
  readonly colorants: TargetColorants;
  /** null: too few pixels to tell, or no target. */
  readonly noise: PixelNoise | null;
  /** Worst first. */
  readonly cautions: readonly Caution[];
  /**
   * Of a scan read through its profile's table: what our curves and map miss of that, root mean square of lightness, chroma and hue, ΔE00.
   * Left out: nothing was fitted, or a target says (leftOutMean).
   */
  readonly misfit?: readonly [lightness: number, chroma: number, hue: number];
  /** The target's colours as linear signals, for the hull test of 'outside-target-gamut'. */
  readonly signals: readonly (readonly [number, number, number])[];
}
