/** All messages between the program and its workers, in one typed file. */
import type { Calibration, PointMm, TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import type { ScaleUse } from '../../analysis/calibrate/scaleUse.ts';
import type { PaperSurface } from '../../analysis/locate/paperSurface.ts';
import type { EdgeDetail } from '../../analysis/measure/edge/edgeDetail.ts';
import type { FilmMeasure, FilmMeasureInput } from '../../analysis/measure/film/measureFilm.ts';
import type { TargetPatch } from '../../analysis/measure/film/targetPatches.ts';
import type { MeasuredBar } from '../../analysis/measure/opacity/measuredBar.ts';
import type { InkMeasure } from '../../analysis/measure/ink.ts';
import type { BarePaper } from '../../analysis/measure/barePaper.ts';
import type { StripMeasure } from '../../analysis/measure/strip/measureStrip.ts';
import type { BandByHand } from '../../analysis/measure/strip/strip.ts';
import type { Registration } from '../../analysis/locate/registerSheets.ts';
import type { Flag, Quantity } from '../../analysis/quantity.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { BoxPx } from '../scans/readScan.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';

export interface CalibrateTask {
  readonly task: 'calibrate';
  readonly info: ScanInfo;
  readonly dpi: number;
  readonly layout: TargetLayout;
  readonly reference: TargetReference;
  /** Where the layout's four points lie in the scan; null: find them. */
  readonly pointsMm: readonly [PointMm, PointMm, PointMm, PointMm] | null;
  /** A scan of a bare white sheet, for the evenness of the light; null: the target's own unprinted parts tell. */
  readonly white: { readonly info: ScanInfo; readonly dpi: number } | null;
}
export interface CalibrateResult {
  readonly calibration: Calibration;
  readonly pointsPx: readonly Point[];
  readonly located: LocatedBy;
  /** The scanner's blur as a Gaussian sigma, mm, from the edges of the fiducial discs; null without discs. */
  readonly scannerBlurMm: number | null;
  /** Which values of its scale the target's scan uses; left out: not looked at, as in a file whose packing makes up values. */
  readonly scale?: ScaleUse;
}

/** How the four points came to be known, and how sure that is. */
export interface LocatedBy {
  readonly by: 'person' | 'fiducials' | 'grid';
  /** 0..1, above 0.5 sure; 1 for a person's. */
  readonly score: number;
  /** For instance 'by three of its four discs; the fourth is covered'. */
  readonly words: string;
}

/** One paper on one scan: find its bare parts. */
export interface PaperTask {
  readonly task: 'paper';
  readonly info: ScanInfo;
  readonly dpi: number;
  readonly calibration: Calibration;
  /** Where this paper lies in the scan. */
  readonly boxPx: BoxPx;
  /** Boxes that the person marked as bare paper. */
  readonly markedPx: readonly BoxPx[];
  /** Boxes of writing: paper lies between the lines. */
  readonly writtenPx: readonly BoxPx[];
}
export interface PaperResult {
  readonly paper: PaperSurface | null;
  readonly bare: BarePaper | null;
  /** Present when its pixels were computed from others after scanning, as far as its bare parts tell. */
  readonly resampled?: true;
  /** As the target's. */
  readonly scale?: ScaleUse;
}

/** The written side of a reverse region. */
export interface FrontTask {
  readonly region: string;
  readonly info: ScanInfo;
  readonly dpi: number;
  readonly calibration: Calibration;
  readonly boxPx: BoxPx;
  /** Null: no bare paper was found there. */
  readonly paper: PaperSurface | null;
  /** What is already known of its scan. */
  readonly flags: readonly Flag[];
}

export interface RegionTask extends Omit<PaperResult, 'scale'> {
  readonly task: 'region';
  readonly info: ScanInfo;
  readonly dpi: number;
  readonly calibration: Calibration;
  readonly id: string;
  readonly boxPx: BoxPx;
  readonly measure:
    | { readonly kind: 'paper' | 'swab' | 'bar' }
    | { readonly kind: 'strokes'; readonly nibWidthMm?: number | null }
    | { readonly kind: 'reverse'; readonly front: FrontTask | null; readonly page: 'back' | 'next' }
    | {
        readonly kind: 'strip';
        readonly travel: 'up' | 'down' | 'left' | 'right';
        readonly originMm: number | null;
        readonly frontMm: number | null;
        readonly run: 'fresh' | 'dried' | null;
        /** Seconds from wetting until the strip was taken out; null: not told. */
        readonly runS: number | null;
        /** Bands that a person set or took away. */
        readonly bands: readonly BandByHand[];
      };
  readonly scannerBlurMm: number | null;
  readonly scanFlags: readonly Flag[];
}
export interface RegionResult {
  readonly id: string;
  readonly quantities: readonly Quantity[];
  readonly ink: InkMeasure['ink'];
  /** What each pixel of the region counted as (measure/ink.ts INK_MARKS), for overlays. */
  readonly marks: { readonly data: Uint8Array; readonly widthPx: number; readonly heightPx: number } | null;
  /** Dark, light and all between, for plots. */
  readonly spread: InkMeasure['spread'];
  /** What the film fit needs of it. */
  readonly doses?: InkMeasure['doses'];
  /** Edges of written lines, for overlays and plots. */
  readonly edge?: EdgeDetail | null;
  readonly strip: StripMeasure | null;
  /** Of a strip: as the target's. */
  readonly scale?: ScaleUse;
  /** Ink over a printed bar and over the white beside it; null: this is no bar, or none was found. */
  readonly bar?: MeasuredBar | null;
  /** How front and reverse lie over each other; null: they do not, or this is no reverse. */
  readonly registration?: Registration | null;
}

/** All samples of one ink under one target: one film fitted to their doses. */
export interface FilmTask extends Omit<FilmMeasureInput, 'taught'> {
  readonly task: 'film';
  /** Teaches what the scanner's channels see. */
  readonly target: readonly TargetPatch[];
  /** Of the calibration, which made the target's signals linear. */
  readonly curves: Calibration['curves'];
}
export type FilmResult = FilmMeasure;

export interface OverlayTask {
  readonly task: 'overlay';
  readonly info: ScanInfo;
  readonly dpi: number;
  readonly scanId: string;
  readonly paper: string | null;
  readonly calibration: Calibration;
  /** The target's four points when it lies in this scan, and its layout. */
  readonly target: {
    readonly pointsPx: readonly Point[];
    readonly layout: TargetLayout;
    readonly located: LocatedBy;
  } | null;
  readonly regions: readonly OverlayRegion[];
}
export interface OverlayRegion {
  readonly id: string;
  readonly kind: string;
  readonly nib: string | null;
  readonly boxPx: BoxPx;
  readonly result: RegionResult | null;
}

export type Task = CalibrateTask | PaperTask | RegionTask | FilmTask | OverlayTask;

/** Whoever carries tasks out: the worker pool, or a study's own thread. */
export interface TaskRunner {
  calibrate(task: CalibrateTask, signal?: AbortSignal): Promise<CalibrateResult>;
  paper(task: PaperTask, signal?: AbortSignal): Promise<PaperResult>;
  region(task: RegionTask, signal?: AbortSignal): Promise<RegionResult>;
  film(task: FilmTask, signal?: AbortSignal): Promise<FilmResult>;
  overlay(task: OverlayTask, signal?: AbortSignal): Promise<Uint8Array>;
}
