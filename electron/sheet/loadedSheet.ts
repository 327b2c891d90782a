/** A sheet with its files found and checked: what the jobs work on. */
import type { PointMm, TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import type { Sheet, SheetRegion } from './sheetSchema.ts';

export interface LoadedScan {
  readonly id: string;
  /** Absolute. */
  readonly file: string;
  readonly info: ScanInfo;
  /** The sheet's when it gives one, else the file's. */
  readonly dpi: number;
  readonly paper: string | null;
  readonly side: 'front' | 'back';
  /** The front that this back belongs to: a scan's id. */
  readonly of: string | null;
}

/** `paper` is the region's own, else its scan's; `scan` is an id of `LoadedSheet.scans`. */
export type LoadedRegion = WithPaper<SheetRegion>;
/** Kind by kind, so that a strip keeps its own fields. */
type WithPaper<R> = R extends SheetRegion ? Omit<R, 'paper'> & { readonly paper: string | null } : never;

export interface LoadedTarget {
  readonly scanFile: string;
  readonly info: ScanInfo;
  readonly dpi: number;
  readonly layout: TargetLayout;
  readonly reference: TargetReference;
  /** Where the layout's four points lie in the scan; absent: they are to be found. */
  readonly pointsMm?: readonly [PointMm, PointMm, PointMm, PointMm];
  /** A scan of a bare white sheet of the same scanner and settings; absent: the target's unprinted parts tell how even the light is. */
  readonly white?: { readonly info: ScanInfo; readonly dpi: number };
}

export interface RegionProblem {
  readonly region: string;
  readonly message: string;
}

export interface LoadedSheet {
  /** Absolute. */
  readonly file: string;
  readonly sheet: Sheet;
  /** Those that can be read and have a resolution. */
  readonly scans: ReadonlyMap<string, LoadedScan>;
  /** Those that can be measured: their scan, target and box are sound. */
  readonly regions: readonly LoadedRegion[];
  /** By scan id; null: this scan has no target, and its results are relative. Scans that share a target share the object. */
  readonly targets: ReadonlyMap<string, LoadedTarget | null>;
  /** The sheet's own target; null: none is named, or it is among `targetProblems`. */
  readonly target: LoadedTarget | null;
  /** Regions that cannot be measured, with the line that says why. */
  readonly problems: readonly RegionProblem[];
  /** Targets that cannot be used, one line each. */
  readonly targetProblems: readonly string[];
  readonly warnings: readonly string[];
}
