/** All messages between the view and its worker, in one typed file. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import type { DoseSteps } from '../../analysis/measure/opacity/otherGround.ts';
import type { Probe } from '../backend/probeAnswer.ts';
import type { BoxPx } from '../scans/readScan.ts';
import type { ScanErrorCode } from '../scans/scanError.ts';
import type { CachedScan } from './pyramidCache.ts';

/** A scan to be looked at. `key` names its colours: the same key, the same way from device values to colours. */
export interface ViewScan extends CachedScan {
  readonly dpi: number | null;
  readonly colours: ViewColours;
}
export type ViewColours =
  | { readonly by: 'calibration'; readonly key: string; readonly calibration: Calibration }
  | { readonly by: 'profile'; readonly key: string }
  | { readonly by: 'assumed-srgb'; readonly key: string };

/** Where the pixels may come from: only a pyramid or what is as quick; or the scan itself, however long that takes. */
export type From = 'pyramid' | 'scan';

interface Looking {
  readonly scan: ViewScan;
  readonly folder: string;
  readonly from: From;
}
export interface TileTask extends Looking {
  readonly task: 'tile';
  readonly level: number;
  readonly column: number;
  readonly row: number;
}
export interface OverviewTask extends Looking {
  readonly task: 'overview';
}
/** Its pixels at the scale of an overview are kept at hand. */
export interface DecodeTask {
  readonly task: 'decode';
  readonly scan: CachedScan;
  readonly folder: string;
}
/** A box of the scan averaged to some columns, as CIELAB numbers or as a picture. */
export interface BoxTask extends Looking {
  readonly task: 'lab' | 'crop';
  readonly boxPx: BoxPx;
  readonly columns: number;
  /** The ink's colours here and on another ground, which the picture is to show instead; absent: as scanned. */
  readonly laidOn?: DoseSteps;
}
/** The size of a small picture at a stated scale. */
export interface ThumbnailSize {
  readonly mmPerPixel: number;
  readonly columns: number;
  readonly rows: number;
}
/** The piece of a box with the most ink in it. */
export interface ThumbnailTask extends Looking {
  readonly task: 'thumbnail';
  readonly boxPx: BoxPx;
  readonly dpi: number;
  readonly size: ThumbnailSize;
  readonly laidOn?: DoseSteps;
}
export interface ProbeTask extends Looking {
  readonly task: 'probe';
  readonly xPx: number;
  readonly yPx: number;
  readonly radiusPx: number;
}
export interface PyramidTask {
  readonly task: 'pyramid';
  readonly scan: ViewScan;
  readonly folder: string;
  readonly mostBytes: number;
}
export interface ProfileTask {
  readonly task: 'profile';
  readonly file: string;
}

export type ViewTask =
  TileTask | OverviewTask | DecodeTask | BoxTask | ThumbnailTask | ProbeTask | PyramidTask | ProfileTask;

/** A picture as it travels: nobody else's memory, so that it is answered with as it is. */
export type PictureBytes = Uint8Array<ArrayBuffer>;

export interface LabAnswer {
  readonly data: Int16Array;
  readonly columns: number;
  readonly rows: number;
}
export type ProbeAnswer = Omit<Probe, 'colours' | 'key'>;

/** What comes back: what was asked for, that a pyramid is needed first, or why there is nothing. */
export type ViewAnswer<T> =
  | { readonly is: 'done'; readonly value: T; readonly pyramid: boolean }
  | { readonly is: 'wants-pyramid' }
  | { readonly is: 'refused'; readonly code: ScanErrorCode; readonly message: string };
