/** What the page and the heat map's worker say to each other. */
import type { LabValue } from '../../analysis/quantity.ts';

export type HeatAsk =
  /** Another view; its buffer is handed over. */
  | { readonly ask: 'raster'; readonly data: Int16Array; readonly columns: number; readonly rows: number }
  /** Draw against this colour; answered by one `HeatAnswer`. */
  | { readonly ask: 'draw'; readonly reference: LabValue };

export interface HeatAnswer {
  /** Null: no raster has come yet. */
  readonly picture: ImageBitmap | null;
  /** Milliseconds of work, for the bench. */
  readonly tookMs: number;
}
