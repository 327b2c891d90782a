/** How soft edges are as they were scanned. */
import { type CoarseMaximum } from '../raster/coarseMaximum.ts';
import type { Mask } from '../raster/raster.ts';

/** The edge is followed so far either way, px, in steps of half a pixel. */
const REACH = 6;
const STEP = 0.5;
const FEW = 20;

/**
 * 10–90 % of the mean fall of contrast, as a share of each stroke's own core, against the distance from the edge, px; null when no stroke is wide enough
 * to have a plateau.
 */
export function edgeWidth(
  contrast: Float32Array,
  core: CoarseMaximum,
  mask: Mask,
  depthPx: Float32Array,
  awayPx: Float32Array,
): number | null {
  const { widthPx: w, heightPx: h, data } = mask;
  const bins = (2 * REACH) / STEP;
  const sum = new Float64Array(bins);
  const count = new Float64Array(bins);
  for (let y = 0; y < h; y++) addRow(y);
  const profile: { at: number; fall: number }[] = [];
  for (let b = 0; b < bins; b++)
    if (count[b] > FEW) profile.push({ at: (b + 0.5) * STEP - REACH, fall: sum[b] / count[b] });
  const inner = profile.filter((p) => p.at > 1.5);
  if (inner.length < 2) return null;
  const plateau = Math.max(...inner.map((p) => p.fall));
  const at90 = crossing(profile, 0.9 * plateau);
  const at10 = crossing(profile, 0.1 * plateau);
  return at90 === null || at10 === null ? null : Math.max(0.5, at90 - at10);

  function addRow(y: number): void {
    const coreRow = (y >> core.shift) * core.width;
    for (let x = 0, i = y * w; x < w; x++, i++) {
      // Signed distance from the edge: positive inside.
      const signed = data[i] === 0 ? 0.5 - awayPx[i] : depthPx[i] - 0.5;
      if (signed <= -REACH || signed >= REACH) continue;
      const own = core.data[coreRow + (x >> core.shift)];
      if (own <= 0) continue;
      const bin = Math.floor((signed + REACH) / STEP);
      sum[bin] += contrast[i] / own;
      count[bin]++;
    }
  }
}

/** First place, coming from outside, where the profile rises through `level`. */
function crossing(profile: readonly { at: number; fall: number }[], level: number): number | null {
  for (let i = 1; i < profile.length; i++) {
    const a = profile[i - 1];
    const b = profile[i];
    if (a.fall < level && b.fall >= level) return a.at + ((level - a.fall) / (b.fall - a.fall)) * (b.at - a.at);
  }
  return null;
}
