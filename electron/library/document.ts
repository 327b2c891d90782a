/** One ink's work as the library keeps it: a sheet whose files are known by their content. */
import type { PointMm } from '../../analysis/calibrate/calibration.ts';
import type { Sheet, SheetRegion } from '../sheet/sheetSchema.ts';
import type { DocumentRegion } from './firstId.ts';

export interface DocumentTarget {
  /** Where the target lies: a scan's id of this document. */
  readonly scan: string;
  /** Content hashes of the layout file and of the reference file (`Library.textFile`). */
  readonly layout: string;
  readonly reference: string;
  /** Where the layout's four points lie in the scan, mm; absent: they are found. */
  readonly pointsMm?: readonly [PointMm, PointMm, PointMm, PointMm];
  /** A scan of a bare white sheet, for the evenness of the light: a scan's id of this document. */
  readonly white?: string;
}

export interface DocumentScan {
  readonly id: string;
  /** SHA-256 of the scan's file, hexadecimal. */
  readonly hash: string;
  /** The name that the file had when it came in. */
  readonly name: string;
  readonly paper?: string;
  readonly side?: 'front' | 'back';
  readonly of?: string;
  /** What the person says; absent: the file's own. */
  readonly dpi?: number;
  /** A target of its own; absent: the document's serves. */
  readonly target?: DocumentTarget;
}

export interface InkDocument {
  readonly ink: {
    readonly name: string;
    readonly maker?: string;
    /** What its maker calls the colour, for instance 'dark green'. */
    readonly claim?: string;
  };
  readonly target?: DocumentTarget;
  readonly scans: readonly DocumentScan[];
  readonly regions: readonly DocumentRegion[];
  readonly bench?: NonNullable<Sheet['bench']>;
}

/** A scan as it was seen where it was removed, with all regions on it; null: nothing was said. */
export interface RemovedScan {
  readonly id: string;
  readonly paper: string | null;
  readonly side: 'front' | 'back';
  readonly of: string | null;
  readonly dpi: number | null;
  readonly target: DocumentTarget | null;
  readonly regions: readonly SheetRegion[];
}

/** All that a person can do to an ink's work; each is one step of undo. `from` is for another window's changes since (ontoNow.ts). */
export type Edit =
  | {
      readonly edit: 'addRegion';
      readonly region: SheetRegion;
      /** Its name is only proposed: when another region bears it, a number goes behind. */
      readonly proposed?: true;
    }
  /** Another id renames the region, and what refers to it follows. */
  | {
      readonly edit: 'changeRegion';
      readonly id: string;
      readonly region: SheetRegion;
      /** The region as it was drawn when this was made of it: what is the same in both is left as it is by now. Absent: the whole region anew. */
      readonly from?: SheetRegion;
      /** All regions that one gesture moves: their changes, which follow each other at once, are one step of undo. */
      readonly together?: readonly string[];
    }
  | {
      readonly edit: 'removeRegions';
      readonly ids: readonly string[];
      /** In step with `ids`: each as it was seen where this was done; null: it had not come there yet. */
      readonly from?: readonly (SheetRegion | null)[];
    }
  | {
      readonly edit: 'changeScan';
      readonly id: string;
      /** null takes a field away. A new id renames the scan, and what refers to it follows. */
      readonly change: {
        readonly id?: string;
        readonly paper?: string | null;
        readonly side?: 'front' | 'back' | null;
        readonly of?: string | null;
        readonly dpi?: number | null;
      };
      /** What these fields were when the change was made; null: nothing was said. */
      readonly from?: {
        readonly id?: string;
        readonly paper?: string | null;
        readonly side?: 'front' | 'back' | null;
        readonly of?: string | null;
        readonly dpi?: number | null;
      };
    }
  /** The scan leaves the ink with its regions; its file stays in the store for undo. */
  | { readonly edit: 'removeScan'; readonly id: string; readonly from?: RemovedScan }
  /** `serves`: 'all' sets the document's target, a scan's id that scan's own; null takes it away. */
  | {
      readonly edit: 'setTarget';
      readonly serves: string;
      readonly target: DocumentTarget | null;
      /** As it was when this was made of it; null: there was none. */
      readonly from?: DocumentTarget | null;
    }
  /** `claim` left out stays as it is; null takes it away. */
  | {
      readonly edit: 'changeInk';
      readonly name: string;
      readonly maker: string | null;
      readonly claim?: string | null;
      /** As they were when the form was opened. */
      readonly from?: { readonly name: string; readonly maker: string | null; readonly claim: string | null };
    }
  /** Added by the host after an import, never sent by the window. */
  | { readonly edit: 'addScans'; readonly scans: readonly DocumentScan[] };
