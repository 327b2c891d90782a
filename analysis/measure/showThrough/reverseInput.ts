/** What measuring the back of a page is given. */
import type { CompiledCalibration } from '../../calibrate/apply.ts';
import type { PaperSurface } from '../../locate/paperSurface.ts';
import type { Registration } from '../../locate/registerSheets.ts';
import type { Flag, Quantity } from '../../quantity.ts';
import type { LinearRaster } from '../../raster/raster.ts';

export interface ReverseInput {
  /** The reverse region's id in the sheet. */
  readonly id: string;
  /** The box on the back: linear, flat-fielded device signals. */
  readonly back: LinearRaster;
  readonly calibration: CompiledCalibration;
  /** The written side of the same place; null: the reverse alone. */
  readonly front: FrontSide | null;
  readonly scanFlags: readonly Flag[];
  /** The sheet's own back, or the sheet that lay under it. */
  readonly page: 'back' | 'next';
}

export interface ReverseMeasure {
  readonly quantities: readonly Quantity[];
  /** REVERSE_MARKS of each pixel of the back's box; null: nothing was laid over it. */
  readonly marks: Uint8Array | null;
  readonly registration: Registration | null;
}

export interface FrontSide {
  /** The region's id in the sheet. */
  readonly region: string;
  readonly signal: LinearRaster;
  readonly calibration: CompiledCalibration;
  /** Null: no bare paper was found on the front. */
  readonly paper: PaperSurface | null;
  readonly scanFlags: readonly Flag[];
}

/** Classes of the back's pixels, for pictures; none of them is one of INK_MARKS. */
export const REVERSE_MARKS = { none: 0, bare: 10, behindInk: 11, behindCore: 12, bleed: 13 } as const;

/** Steps of `ghosting`'s words, ΔL*; common practice, no source. */
export const GHOSTING_LIMITS = [0.5, 1.5, 4] as const;
