/** The calibration's report card as data: `wetline-calibration/1`, and what the window's page of it shows. Lengths mm, places px of the scan. */
import type {
  Calibration,
  Caution,
  ColourModelName,
  FlatField,
  PatchResult,
  PixelNoise,
  TargetColorants,
  ToneCurve,
} from '../../analysis/calibrate/calibration.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { LocatedBy } from '../jobs/tasks.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import type { ScannerIdentity } from '../scans/scannerIdentity.ts';

export interface CalibrationReport {
  readonly format: 'wetline-calibration/1';
  readonly judgement: Calibration['judgement'];
  readonly model: ColourModelName;
  /** ΔE00 of patches predicted by a fit that never saw them; null: no target. */
  readonly leftOutMedian: number | null;
  readonly leftOutMean: number | null;
  readonly leftOut95: number | null;
  readonly leftOutMax: number | null;
  /** The same of patches that the fit saw; null: no target. */
  readonly fittedMedian: number | null;
  readonly fittedMean: number | null;
  readonly fitted95: number | null;
  readonly fittedMax: number | null;
  readonly greyMaxChroma: number | null;
  /** Good, usable or poor, and why: one sentence or two. */
  readonly words: string;
  /** What a person should mend or know, worst first. */
  readonly cautions: readonly Caution[];
  readonly candidates: readonly ReportCandidate[];
  /** Which model was taken and why. */
  readonly modelWords: string;
  readonly target: ReportTarget;
  readonly scan: ReportScan;
  readonly scanner: ReportScanner;
  /** Evenness of the light over the bed; null: the target leaves no bare card and no white sheet was scanned. */
  readonly light: ReportLight | null;
  readonly lightWords: string;
  readonly drift: ReportDrift;
  readonly patches: readonly ReportPatch[];
  /** The way from device values to XYZ itself, so that a later report can be held against this one. */
  readonly map: ReportMap;
}

export interface ReportCandidate {
  readonly model: ColourModelName;
  readonly ridge: number;
  readonly leftOutMean: number;
  readonly standardError: number;
  readonly chosen: boolean;
}

export interface ReportPatch extends Omit<PatchResult, 'reference' | 'referenceU' | 'fitted' | 'leftOut'> {
  readonly reference: LabValue;
  readonly fitted: LabValue;
  readonly leftOut: LabValue;
  readonly grey: boolean;
  /** Standard uncertainty of the known value; null: of no account. */
  readonly referenceU: LabValue | null;
  /** Flags in words, one clause each. */
  readonly notes: readonly string[];
  /** Top left, top right, bottom right, bottom left as the layout has them, px of the scan. */
  readonly cornersPx: readonly Point[];
}

export interface ReportTarget {
  readonly layout: string;
  /** The layout's four points, px of the scan. */
  readonly pointsPx: readonly Point[];
  /** Null: made by an earlier version, which did not keep it. */
  readonly located: LocatedBy | null;
  readonly locatedWords: string;
  readonly colorants: TargetColorants;
  readonly colorantsWords: string;
  /** Standard uncertainty of its known values, ΔE*ab; null: they are taken as exact. */
  readonly referenceU: { readonly median: number; readonly largest: number } | null;
  readonly referenceWords: string;
  /** What reading the reference had to do to it. */
  readonly notes: readonly string[];
}

export interface ReportScan extends Pick<ScanInfo, 'widthPx' | 'heightPx' | 'bits' | 'format' | 'icc' | 'iccHash'> {
  readonly dpi: number;
  /** When it was scanned as the file says it, local time; null: it does not. */
  readonly scannedAt: string | null;
}

export interface ReportScanner {
  /** As the file names it; null: it does not. */
  readonly identity: ScannerIdentity | null;
  readonly words: string;
  /** Null: too few pixels to tell. */
  readonly noise: PixelNoise | null;
  readonly noiseWords: string;
  /** Gaussian sigma; null: nothing on the target tells it. */
  readonly blurMm: number | null;
  /** The thinnest line that keeps a middle which no blur reaches, at this resolution. */
  readonly narrowestLineMm: number | null;
  readonly blurWords: string;
  /** Patches left out because they are clipped, and the largest share of clipped pixels of any patch, 0..1. */
  readonly clippedPatches: number;
  readonly largestClippedShare: number;
  readonly clippingWords: string;
}

export interface ReportLight {
  readonly from: 'white-sheet' | 'target';
  /** Lightest less darkest place of the scan over their mean, %, per channel. */
  readonly rangePercent: readonly [number, number, number];
  /** What the surface leaves, typical of one reading, %. */
  readonly residualPercent: number;
  /** Row by row over the whole scan, % above the middle between its lightest and darkest place, per channel. */
  readonly grid: {
    readonly columns: number;
    readonly rows: number;
    readonly percent: readonly [readonly number[], readonly number[], readonly number[]];
  };
}

export interface ReportDrift {
  /** How earlier calibrations of the same scanner were told. */
  readonly by: 'scanner' | 'kind-of-file' | 'given';
  readonly words: string;
  /** The latest first. */
  readonly earlier: readonly DriftFrom[];
}

/** This target's device values through an earlier calibration, against the same through this one. */
export interface DriftFrom {
  /** What the earlier one is called: its scan's file, or the report's. */
  readonly name: string;
  /** When it was scanned, else calibrated; ISO 8601; null: not known. */
  readonly at: string | null;
  /** Null: set differently, so the two cannot be compared. */
  readonly compared: {
    readonly medianDE00: number;
    readonly largestDE00: number;
    /** By how much the scanner has become brighter, %, per channel. */
    readonly brighterPercent: readonly [number, number, number];
    /** Median ΔE00 that no channel's brightness explains. */
    readonly restDE00: number;
  } | null;
  /** 'settings-changed': what was set differently. */
  readonly settingsChanged: readonly string[];
  readonly words: string;
}

export interface ReportMap {
  readonly model: ColourModelName;
  readonly curves: readonly [ToneCurve, ToneCurve, ToneCurve];
  readonly matrix: readonly (readonly number[])[];
  readonly flatField: FlatField | null;
}
