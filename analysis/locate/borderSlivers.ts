/** What the border of a region cuts off of a printed rule or of a stroke: too little to tell what it is. */
import { components } from '../raster/components.ts';
import type { Mask } from '../raster/raster.ts';

/** No rule is broader, mm (common practice, no source). */
const REACH_MM = 0.25;

/**
 * Clears, in place, every piece that lies along the raster's border and goes no further in than a rule is broad; its light becomes paper's, so that
 * it says nothing of the ink either. @param ratio Three channels over paper. @returns whether there was any
 */
export function dropBorderSlivers(mask: Mask, ratio: Float32Array, pxPerMm: number): boolean {
  const { data, widthPx: w, heightPx: h } = mask;
  if (!touchesBorder(mask)) return false;
  const reach = Math.ceil(REACH_MM * pxPerMm);
  if (2 * reach >= Math.min(w, h)) return false;
  let dropped = false;
  for (const { runs } of components(mask)) {
    if (!liesAlongBorder(runs, reach, w, h)) continue;
    dropped = true;
    for (let r = 0; r < runs.length; r += 3) {
      const [from, to] = [runs[r] * w + runs[r + 1], runs[r] * w + runs[r + 2] + 1];
      data.fill(0, from, to);
      ratio.fill(1, 3 * from, 3 * to);
    }
  }
  return dropped;
}

function liesAlongBorder(runs: Int32Array, reach: number, w: number, h: number): boolean {
  for (let r = 0; r < runs.length; r += 3) {
    const [y, first, last] = [runs[r], runs[r + 1], runs[r + 2]];
    if (y >= reach && y < h - reach && last >= reach && first < w - reach) return false;
  }
  return true;
}

function touchesBorder({ data, widthPx: w, heightPx: h }: Mask): boolean {
  const last = (h - 1) * w;
  if (data.subarray(0, w).includes(1) || data.subarray(last, last + w).includes(1)) return true;
  for (let row = 0; row <= last; row += w) if (data[row] === 1 || data[row + w - 1] === 1) return true;
  return false;
}
