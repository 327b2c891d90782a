/**
 * What the window and the backend say to each other: JSON shapes of every request and answer under `/api`.
 * The window imports types from here and nothing else of the host. Lengths mm, places px from the scan's top left.
 *
 * An answer that is not 2xx is a `Problem`.
 */
import type { BoxMm, Calibration, Caution, PointMm } from '../../analysis/calibrate/calibration.ts';
import type { EdgeDetail } from '../../analysis/measure/edge/edgeDetail.ts';
import type { LabValue, Quantity } from '../../analysis/quantity.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { LocatedBy } from '../jobs/tasks.ts';
import type { DocumentTarget } from '../library/document.ts';
import type { ColoursDoubt } from './doubtAnswer.ts';
import type { SheetRegion } from '../sheet/sheetSchema.ts';

export type { EdgeDetail } from '../../analysis/measure/edge/edgeDetail.ts';
export type { CalibrationReport, ReportLight, ReportPatch } from '../findings/reportShape.ts';
export type { DocumentTarget, Edit } from '../library/document.ts';
export type { ImportAnswer, ImportRequest, PathsRequest, SheetRequest, Upload } from './importAnswer.ts';
export type { SheetRegion } from '../sheet/sheetSchema.ts';

/** One line: what was found, what was expected, what to do. `code` is for the program, `message` for the person. */
export interface Problem {
  readonly code: string;
  readonly message: string;
}

/** GET /api/hello */
export interface Hello {
  readonly version: string;
  readonly shell: 'electron' | 'browser';
  /** The library's folder. */
  readonly library: string;
}

/** GET /api/shelf; its stamp is sent back to hear only what changed since. */
export interface Shelf {
  readonly stamp: string;
  readonly inks: readonly InkCard[];
  /** Known papers and nibs, for suggestions and colours of bare paper. */
  readonly papers: readonly { readonly name: string; readonly lab: LabValue | null }[];
  readonly nibs: readonly { readonly name: string; readonly widthMm: number | null }[];
  /** Inks that were taken off, the last first: each can be put back. */
  readonly removed: readonly RemovedInk[];
  /** Why the sample ink is not here though this is a first start; absent: it is, or is not wanted. */
  readonly sampleProblem?: string;
}
export interface RemovedInk {
  readonly id: number;
  readonly name: string;
  readonly maker: string | null;
  /** ISO 8601. */
  readonly removedAt: string;
}

/** GET /api/shelf?since=STAMP: all inks as they now stand, and the cards that are new or changed. */
export interface ShelfChanges extends Omit<Shelf, 'inks'> {
  readonly order: readonly number[];
  readonly changed: readonly InkCard[];
}

export type StageState = 'done' | 'attention' | 'not-yet';

export interface InkCard {
  readonly id: number;
  readonly name: string;
  readonly maker: string | null;
  /** What its maker calls the colour; null: not told. */
  readonly claim: string | null;
  /** The sample ink: its scans were rendered, nobody wrote them. */
  readonly invented: boolean;
  readonly scans: number;
  readonly regions: number;
  readonly findings: number;
  /** inkColour of its regions, palest first, for a row of swatches. */
  readonly swatches: readonly LabValue[];
  readonly stages: { readonly scans: StageState; readonly findings: StageState };
  /** Why a stage asks for attention, in words; '' when none does. */
  readonly attention: string;
  /** ISO 8601. */
  readonly changedAt: string;
}

/** GET /api/inks/:ink, and the answer to every edit. POST /api/inks { name, maker, request? } makes an ink, once by one request’s name. */
export interface Work {
  readonly ink: InkCard;
  /** Grows with every change. */
  readonly revision: number;
  readonly scans: readonly WorkScan[];
  /** The document's own target, which serves all scans without one of their own. */
  readonly target: DocumentTarget | null;
  readonly regions: readonly WorkRegion[];
  /** What undo and redo would take back or do again, in words ('move region “ef”'); null: nothing. */
  readonly undo: string | null;
  readonly redo: string | null;
  /** The same by number, for `StepRequest`. */
  readonly steps: { readonly undo: number | null; readonly redo: number | null };
  readonly job: Job | null;
}

export interface WorkScan {
  readonly id: string;
  readonly hash: string;
  /** The name that the file had. */
  readonly name: string;
  readonly paper: string | null;
  readonly side: 'front' | 'back';
  readonly of: string | null;
  readonly dpi: number | null;
  readonly dpiFrom: 'file' | 'person' | 'nobody';
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bits: 8 | 16;
  readonly icc: string | null;
  /** What a person should know about the file, one clause each. */
  readonly notes: readonly string[];
  /** Why it cannot be used (its file is gone, it has no resolution, its target is unusable); null: it can. */
  readonly problem: string | null;
  readonly target: DocumentTarget | null;
  readonly colours: ScanColours;
  readonly tileSize: number;
  /** Level 0 is a single tile; the last is full resolution. Each level halves the one above, rounding up. */
  readonly levels: number;
}

/** How device values become colours on the screen. */
export interface ScanColours {
  /** Part of every picture's address; another calibration, another key. */
  readonly key: string;
  readonly by: 'calibration' | 'profile' | 'assumed-srgb';
  /** What the file states in place of a profile, for instance 'a gamma of 1.80'; absent: nothing, or it does not lead. */
  readonly stated?: string;
  /** For instance 'colours through the calibration (usable, left out 0.9 ΔE00)'. */
  readonly words: string;
}

export interface WorkRegion {
  readonly region: SheetRegion;
  /** Why it cannot be measured; null: it can. */
  readonly problem: string | null;
  /** Whether its findings belong to how things are now. */
  readonly measured: 'current' | 'stale' | 'never';
}

/** What bears a name now, or bore it before it was renamed: `GET /inks/:ink/named/scans|regions/:name`. */
export interface NameNow {
  /** The same where nothing did. */
  readonly name: string;
}

/** POST /api/inks/:ink/edits. An edit's `from` says what it was made from: what another window changed beside it since stays. */
export interface EditRequest {
  readonly edit: import('../library/document.ts').Edit;
  /** Of the work as it was drawn: that something removed was changed since is told. */
  readonly revision?: number;
  /** Any name of its own; sent once more because no answer came, it is carried out once. */
  readonly request?: string;
}
export interface EditAnswer extends Work {
  /** What another window had changed meanwhile, and now is as this edit says, in words; undo brings it back. Null: nothing. */
  readonly overtook: string | null;
}

/** POST /api/inks/:ink/undo and …/redo. */
export interface StepRequest {
  /** Of `Work.steps`: refused with code 'changed-elsewhere' when it is another by now. */
  readonly step?: number;
  /** For what is done before the request of this name has its answer: meant is the step that is next after that. */
  readonly after?: string;
  /** As an edit's. */
  readonly request?: string;
}

/**
 * GET /api/targets: layouts and references to choose from, those that came in first, the newest of them first. What is built
 * in goes into the library when a target names its hash.
 */
export interface KnownTargetFiles {
  readonly layouts: readonly KnownLayout[];
  readonly references: readonly KnownReference[];
}
export interface KnownLayout {
  readonly hash: string;
  /** Its file's, or what a sheet calls a built-in one by. */
  readonly name: string;
  readonly title: string;
  readonly from: KnownFrom;
  readonly patches: number;
}
/** 'sample': it came with the invented sample ink, and no other ink uses it. */
export type KnownFrom = 'brought' | 'taught' | 'built-in' | 'sample';
export interface KnownReference {
  readonly hash: string;
  readonly name: string;
  readonly title: string;
  readonly from: KnownFrom;
  readonly patches: number;
  /** Layout's hash → why this reference does not fit it; a layout that is absent it fits. */
  readonly misfits: Readonly<Record<string, string>>;
}

/** GET /api/targets/:layout/:reference (hashes): a target as it is drawn over a scan, before anything is calibrated. */
export interface TargetGrid {
  readonly layout: string;
  /** Clockwise from the top left, mm of the target. */
  readonly pointsMm: readonly [PointMm, PointMm, PointMm, PointMm];
  /** Where they belong, to be read after "Put the four points on". */
  readonly pointsWords: string;
  readonly patches: readonly { readonly id: string; readonly boxMm: BoxMm; readonly lab: LabValue | null }[];
}

/**
 * GET /api/card/a4.pdf and /api/card/letter.pdf: the card to print; GET /api/card/layout.json: its layout.
 *
 * POST /api/inks/:ink/targets/:scan/teach { scans }: the card that lies on this scan, and on `scans` besides, beside a target
 * with known values, gets a reference of its own, which is kept as a file to choose. Waits; a request that is given up ends it.
 */
export interface TeachRequest {
  /** Further scans with the known target and the card, by id. */
  readonly scans?: readonly string[];
}
export interface TaughtCard {
  /** The new file, which the library has. */
  readonly reference: { readonly hash: string; readonly name: string };
  /** The card's layout, which the library has, too. */
  readonly layout: string;
  readonly patches: number;
  /** Of all patches: standard uncertainty of the colour as one length in CIELAB. */
  readonly medianU: number;
  readonly largestU: number;
  /** What calibrating by the taught card costs against the known target, and what to do. */
  readonly words: string;
  /** What a person should know of this teaching, one line each. */
  readonly warnings: readonly string[];
  readonly rows: readonly { readonly id: string; readonly lab: LabValue; readonly u: LabValue }[];
}

/** GET /api/inks/:ink/targets/:scan: the target that lies in this scan, calibrated (waits for it). */
export interface TargetView {
  readonly scan: string;
  readonly layoutName: string;
  /** The four points as used, px of the scan. */
  readonly pointsPx: readonly Point[];
  readonly found: boolean;
  /** Each patch's four corners, px. */
  readonly patches: readonly {
    readonly id: string;
    readonly cornersPx: readonly Point[];
    readonly reference: LabValue;
    readonly leftOut: LabValue;
    readonly dE00LeftOut: number;
    readonly flags: readonly string[];
  }[];
  readonly judgement: Calibration['judgement'];
  readonly leftOutMedian: number | null;
  /** Good, usable or poor, why, and what to do about it. */
  readonly words: string;
  /** How its four points came to be known, and how sure that is; null: an earlier version did not keep it. */
  readonly located: LocatedBy | null;
  /** What a person should mend or know, worst first. */
  readonly cautions: readonly Caution[];
  /** How sure its known values themselves are; null: they are taken as exact. */
  readonly referenceWords: string | null;
}

/*
 * GET /api/inks/:ink/targets/:scan/report → CalibrationReport: the whole report card of that target (waits for its
 * calibration). Its page is `#/ink/1/calibration?scan=target`.
 */

/* GET /api/inks/:ink/scans/:scan/probe?x=&y=&radius= (px of the scan) → Probe (probeAnswer.ts). */

/*
 * GET /api/inks/:ink/scans/:scan/lab/:key?x=&y=&width=&height=&columns= → application/octet-stream:
 * Int16 little-endian L*, a*, b* × LAB_RASTER_SCALE (analysis/colour/labRaster.ts), row by row, of the box averaged in
 * linear light to `columns` pixels across. Headers `x-columns` and `x-rows`.
 *
 * GET /api/inks/:ink/scans/:scan/tiles/:key/:level/:column/:row → image/png, sRGB, immutable.
 * GET /api/inks/:ink/scans/:scan/thumbnail/:key?x=&y=&width=&height=&mmPerPixel=&columns=&rows= → image/png: of a region's box (px)
 * the piece with the most ink, `columns` × `rows` pixels of so many mm, so that regions of any scan stand at one scale; never finer
 * than the scan, whose pixels then are fewer.
 * GET /api/inks/:ink/scans/:scan/overview/:key → image/png, longest side 1024 or less; quick on a cold scan.
 */

/** POST /api/inks/:ink/measure starts (or joins) a job; DELETE /api/jobs/:job cancels; GET /api/jobs/:job. */
export interface Job {
  readonly id: string;
  readonly ink: number;
  readonly state: 'running' | 'done' | 'cancelled' | 'failed';
  readonly done: number;
  readonly total: number;
  /** What is being done, in words. */
  readonly what: string;
  /** Steps measured anew, and those whose results were still true. */
  readonly measured: number;
  readonly kept: number;
  /** Why it failed; null. */
  readonly problem: string | null;
}

/** GET /api/inks/:ink/findings */
export interface FindingsReport {
  readonly findings: readonly TracedFinding[];
  readonly calibrations: readonly CalibrationSummary[];
  /** Regions that could not be measured, one line each. */
  readonly problems: readonly { readonly region: string; readonly message: string }[];
  /** Null: never measured. ISO 8601. */
  readonly measuredAt: string | null;
}
export interface TracedFinding {
  /** Stable between runs: `shading(ef)`, `bandColour(fresh)#2`. */
  readonly key: string;
  readonly finding: Quantity;
  /** False: a region, scan or calibration behind it has changed since. */
  readonly current: boolean;
  readonly trace: {
    /** Where its regions lie: scan id and the hash of that scan's file, region by region. */
    readonly scans: readonly { readonly id: string; readonly hash: string }[];
    /** Of the first region's calibration; null: uncalibrated. */
    readonly calibration: string | null;
    /** ISO 8601. */
    readonly measuredAt: string;
    /** Of a number through the film: the other samples of its fit, and what each was measured from. */
    readonly fittedWith?: readonly { readonly region: string; readonly key: string }[];
  };
}
export interface CalibrationSummary {
  readonly key: string;
  readonly scan: string;
  readonly judgement: Calibration['judgement'];
  readonly model: string;
  readonly leftOutMedian: number | null;
  readonly leftOut95: number | null;
}

/** GET /api/inks/:ink/regions/:region/detail: what pictures and plots of one region need; 404 until it is measured. */
export interface RegionDetail {
  readonly region: string;
  readonly scan: string;
  /** Left, top, width, height in px of the scan. */
  readonly boxPx: readonly [number, number, number, number];
  /** Whether GET …/marks has a raster: Uint8 classes (none 0, ink 1, counted 2, dark 3, light 4, doubleLayer 5, sheen 6, halo 7, hair 8) row by row; headers x-columns, x-rows. */
  readonly marks: boolean;
  readonly ink: InkDetail | null;
  /** Null: no strokes, or measured before edges were. */
  readonly edge: EdgeDetail | null;
  readonly strip: StripDetail | null;
  /** Absent: what its scan's colours come through is not known. */
  readonly doubt?: ColoursDoubt;
}
export interface InkDetail {
  readonly lab: LabValue;
  readonly paper: LabValue;
  /** Mean colours about the 10th and the 90th percentile of L*: those that the shading (or the swab’s variation) lies between. */
  readonly dark: LabValue;
  readonly light: LabValue;
  /** Counts of L* of the counted pixels, one bin each from `firstL` in steps of `stepL`. */
  readonly lightness: { readonly firstL: number; readonly stepL: number; readonly counts: readonly number[] };
}
export interface StripDetail {
  readonly travel: 'up' | 'down' | 'left' | 'right';
  /** mm from the box's top (or left) edge, as originMm and frontMm are; null: not found. */
  readonly originMm: number | null;
  readonly frontMm: number | null;
  /** Along the box, mm from its top (or left) edge, ascending. */
  readonly placesMm: readonly number[];
  readonly lab: readonly LabValue[];
  /** Three absorbances (long, middle, short wavelengths: of the red, green and blue signal) by place, as measured and as fitted. */
  readonly absorbance: readonly [readonly number[], readonly number[], readonly number[]];
  readonly fitted: readonly [readonly number[], readonly number[], readonly number[]];
  readonly bands: readonly {
    readonly band: number;
    readonly centreMm: number;
    readonly fromMm: number;
    readonly toMm: number;
    readonly lab: LabValue;
    readonly rF: number | null;
    readonly share: number | null;
  }[];
}

/** GET /api/events: server-sent events, one JSON object each; a comment line every 15 s keeps it open. */
export type WindowEvent =
  | {
      readonly event: 'work';
      readonly ink: number;
      readonly revision: number;
      /** What its scans' colours come through may be another, though the revision is the same: a calibration was made or failed. */
      readonly colours?: true;
    }
  | { readonly event: 'shelf' }
  | { readonly event: 'job'; readonly job: Job }
  /** Regions whose findings have just come. */
  | { readonly event: 'findings'; readonly ink: number; readonly regions: readonly string[] };
