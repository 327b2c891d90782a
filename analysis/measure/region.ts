/** What a measure is given: pixels and their meaning, nothing of files. */
import type { CompiledCalibration } from '../calibrate/apply.ts';
import type { Breadth } from '../locate/otherBreadths.ts';
import type { PaperSurface } from '../locate/paperSurface.ts';
import type { Flag } from '../quantity.ts';
import type { LinearRaster } from '../raster/raster.ts';
import type { Rooms } from '../raster/rooms.ts';
import type { BarePaper } from './barePaper.ts';

export interface RegionInput {
  /** The region's id in the sheet. */
  readonly id: string;
  /** The region's box: linear, flat-fielded device signals. */
  readonly signal: LinearRaster;
  /** The signal's room may be used for what is made of it, since nobody looks at it afterwards. @default false */
  readonly spendSignal?: boolean;
  /** Called where rasters have just been let go: the host may give their room back before more is taken. */
  readonly onLetGo?: () => void;
  /** Where rasters go that nobody looks at once the region is measured. @default new ones */
  readonly rooms?: Rooms;
  readonly calibration: CompiledCalibration;
  /** The bare paper of this scan as a surface; null when none could be told. */
  readonly paper: PaperSurface | null;
  /** The same paper where it counts as the reference: the region marked as bare, else the surface's own middle. */
  readonly bare: BarePaper | null;
  /** Its pixels were computed from others after scanning (locate/resampled.ts): edges are not as scanned. @default false */
  readonly resampled?: boolean;
  /** The scanner's blur as a Gaussian sigma, mm, from the card's edges; null when not known. */
  readonly scannerBlurMm: number | null;
  /** Ink of another breadth in the box is set aside; left out: whatever its breadth, it counts. */
  readonly breadth?: Breadth;
  /** Of the pen that wrote it, for `spread`; left out or null: not given. */
  readonly nibWidthMm?: number | null;
  /** What is already known of the scan: 'uncalibrated', 'settings-changed', 'lossy' … */
  readonly scanFlags: readonly Flag[];
}
