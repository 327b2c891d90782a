/** What a page does with the pointer over a scan. What no tool takes, pans and zooms. */
import type { Point } from '../../analysis/raster/homography.ts';
import type { ViewPlace } from './viewPlace.ts';

export interface ViewPointer {
  /** Px of the scan, fractions included. */
  readonly scan: Point;
  /** CSS px from the picture's top left corner. */
  readonly screen: Point;
  readonly shift: boolean;
  readonly alt: boolean;
  readonly place: ViewPlace;
}

export interface ViewTool {
  /** True: what follows until the release is the tool's drag. */
  press?(pointer: ViewPointer): boolean;
  drag?(pointer: ViewPointer): void;
  /** After a press that the tool took. */
  release?(pointer: ViewPointer): void;
  /** A press and release in one place that `press` did not take. */
  click?(pointer: ViewPointer): void;
  /** The pointer moves without a button; null: it has left. */
  move?(pointer: ViewPointer | null): void;
  /** CSS cursor for a place. */
  cursor?(pointer: ViewPointer): string;
}
