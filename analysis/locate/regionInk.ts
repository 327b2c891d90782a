/** The ink of one region on its own paper, levelled: what every measure of a writing sample starts from. */
import type { LinearRaster } from '../raster/raster.ts';
import { findInk, type Ink, inkInRatio } from './inkMask.ts';
import { bareMask, levelToLocalPaper } from './localPaper.ts';
import type { PaperSurface } from './paperSurface.ts';

export interface RegionInkOptions {
  /** The signal's room may be used for what is made of it. @default false */
  readonly spendSignal?: boolean;
  /** Called where rasters have just been let go. */
  readonly onLetGo?: () => void;
}

export interface RegionInk {
  readonly ink: Ink;
  /** 1 on paper that neither ink nor its halo reaches. */
  readonly bare: Uint8Array;
}

/** Paper that lies this far from the page's surface shifts thresholds noticeably. */
const LEVEL_AGAIN = 0.01;

/** Null when nothing in the region stands out from the paper. */
export function regionInk(signal: LinearRaster, paper: PaperSurface, options: RegionInkOptions = {}): RegionInk | null {
  const { spendSignal = false, onLetGo } = options;
  const first = findInk(signal, paper, { spendSignal });
  const bare = first && bareMask(first, signal.dpi);
  onLetGo?.();
  if (!first || !bare) return null;
  if (levelToLocalPaper(first, bare, signal.dpi) <= LEVEL_AGAIN) return { ink: first, bare };
  // Edges and threshold were taken on a slope: once more on level ground.
  const ink = inkInRatio(first.ratio, signal, paper.pixelNoise, {}, first);
  onLetGo?.();
  return ink && { ink, bare: bareMask(ink, signal.dpi) };
}
