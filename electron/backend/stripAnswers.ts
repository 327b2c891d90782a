/** What the window is told about strips beyond their findings and `RegionDetail.strip`. */
import type { DyeTable } from '../../analysis/compare/dyeTable.ts';
import type { DyeZone } from '../../analysis/measure/strip/dyesOfWriting.ts';
import type { LabValue } from '../../analysis/quantity.ts';

/** GET /api/inks/:ink/scans/:scan/strips: strips that lie on a scan, for a person to take or leave. Waits for the calibration. */
export interface StripsOnScan {
  readonly strips: readonly FoundStrip[];
}
export interface FoundStrip {
  /** Of the scan. */
  readonly boxMm: readonly [number, number, number, number];
  readonly travel: 'up' | 'down' | 'left' | 'right';
  /** Its two ends look unlike; otherwise the direction is a guess. */
  readonly travelSure: boolean;
  /** As the sheet counts them; null: not found. */
  readonly originMm: number | null;
  readonly frontMm: number | null;
}

/*
 * GET /api/inks/:ink/strips/:region/straight?as=… → image/png, sRGB: the strip laid straight, the liquid running to the right, its whole
 * width the box's length along the run. `as` is any text that changes when the strip does.
 */

/** GET /api/inks/:ink/strips/:region/dyes/:over: how much of each dye of one strip lies along a strip or over a writing sample. */
export type DyesAnswer = DyesAlong | DyesOver;

export interface AnswerDye {
  /** The band's number on its own strip. */
  readonly band: number;
  readonly lab: LabValue;
  readonly rF: number | null;
}

interface OfDyes {
  /** Whose dyes; one unit is as much as lies at the band's crown. */
  readonly of: string;
  readonly over: string;
  readonly dyes: readonly AnswerDye[];
  /** Both came through one calibration: their channels are the same. Otherwise writing is told by colours, and strips are in doubt. */
  readonly sameCalibration: boolean;
}

export interface DyesAlong extends OfDyes {
  readonly is: 'strip';
  readonly travel: 'up' | 'down' | 'left' | 'right';
  readonly originMm: number | null;
  readonly frontMm: number | null;
  /** mm from the box's top (or left) edge, ascending. */
  readonly placesMm: readonly number[];
  /** One list a dye, one number a place; standard uncertainties beside them. */
  readonly amounts: readonly (readonly number[])[];
  readonly u: readonly (readonly number[])[];
  /** By place; above 2 another dye, or not these. */
  readonly misfit: readonly number[];
}

export interface DyesOver extends OfDyes {
  readonly is: 'writing';
  /** A halo was seen around these strokes; its width, mm. */
  readonly haloMm: number | null;
  /** The middle of the strokes, along their edges as scanned, the ring around them. */
  readonly zones: readonly DyeZone[];
  readonly map: {
    readonly columns: number;
    readonly rows: number;
    readonly mmPerCell: number;
    /** One a dye: a byte a cell, row by row, base64; 255 stands for `most`. */
    readonly dyes: readonly { readonly most: number; readonly cells: string }[];
  };
}

/** GET /api/dyes: the bands of all strips on the shelf, held against each other where they can be. */
export interface ShelfDyes {
  readonly table: DyeTable;
  /** One a group of `table.shared`, in words. */
  readonly shared: readonly string[];
  /** What R_F depends on, and what was therefore not compared. */
  readonly note: string;
  /** An ink's name as the table has it → its number; inks of one name are told apart. */
  readonly inks: Readonly<Record<string, number>>;
  /** Strips on the shelf, measured or not. */
  readonly strips: number;
}
