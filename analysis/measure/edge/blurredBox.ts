/** A line narrower than its blur reaches: a box blurred by a Gaussian keeps neither its height nor half of it at its edges. */
import { normalSum } from '../../normalCurve.ts';

/** Share of a box's height that its blurred middle keeps, averaged over the pixel about it. */
function kept(widthPx: number, sigmaPx: number): number {
  const at = (offset: number) =>
    normalSum((widthPx / 2 + offset) / sigmaPx) - normalSum((-widthPx / 2 + offset) / sigmaPx);
  // Simpson's rule over ± half a pixel.
  return (2 * at(0.5) + 4 * at(0)) / 6;
}

/** What the box holds when its blurred middle reads `peak`. */
export function boxCore(peak: number, widthPx: number, sigmaPx: number): number {
  return peak / Math.max(0.2, kept(Math.max(0.5, widthPx), Math.max(0.1, sigmaPx)));
}

/**
 * Contrast that the blurred box of this height and width has at its own edges; for a share other than one half, where an
 * edge alone would have it.
 */
export function boxLevel(core: number, widthPx: number, sigmaPx: number, share: number): number {
  const sigma = Math.max(0.1, sigmaPx);
  const atEdge = normalSum(Math.max(0.5, widthPx) / sigma) - 0.5;
  return core * atEdge * 2 * share;
}
