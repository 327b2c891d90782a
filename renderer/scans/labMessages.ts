/** What the page and the thread of a view's CIELAB say to each other. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { LabRaster } from '../api/client.ts';
import type { BoxPx, LabRequest } from './labView.ts';

export interface LabOf {
  readonly ink: number;
  readonly scan: string;
  /** Of its colours. */
  readonly key: string;
}

export type LabAsk =
  /** Another view, rather than the last one if that has not come; answered once, unless it is stopped or followed by another. */
  | { readonly ask: 'view'; readonly number: number; readonly of: LabOf; readonly request: LabRequest }
  | { readonly ask: 'stop' }
  /** Draw the last view that came against this colour; answered by one picture. */
  | { readonly ask: 'draw'; readonly reference: LabValue };

export type LabAnswer =
  /** Its buffer is handed over. Null: it did not come. */
  | { readonly is: 'view'; readonly number: number; readonly raster: LabRaster | null }
  | { readonly is: 'picture'; readonly drawn: DrawnHeat | null };

export interface DrawnHeat {
  readonly picture: ImageBitmap;
  readonly box: BoxPx;
  /** Milliseconds of work, for the bench. */
  readonly tookMs: number;
}
