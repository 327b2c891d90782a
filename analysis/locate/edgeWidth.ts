/** How soft edges are as they were scanned. */
import { type CoarseMaximum } from '../raster/coarseMaximum.ts';
import type { Mask } from '../raster/raster.ts';
import { setOfRow, type Spans } from '../raster/spans.ts';

/** Of a large region's rows so many pixels tell it. */
const ENOUGH_PX = 1_000_000;

/** The edge is followed so far either way, px, in steps of half a pixel. */
const REACH = 6;
const STEP = 0.5;
const FEW = 20;

/**
 * 10–90 % of the mean fall of contrast, as a share of each stroke's own core, against the distance from the edge, px; null when no stroke is wide enough
 * to have a plateau. @param side Pixels along the side of a pixel of what `core` is of. @param near Where edges lie within reach.
 * @param finer So many times as far: of scans above 1200 dpi, whose blur reaches over more pixels.
 */
export function edgeWidth(
  contrast: Float32Array,
  core: CoarseMaximum,
  side: number,
  mask: Mask,
  depthPx: Float32Array,
  awayPx: Float32Array,
  near: Spans,
  finer = 1,
): number | null {
  const { widthPx: w, heightPx: h } = mask;
  const bins = (2 * REACH) / STEP;
  const sum = new Float64Array(bins);
  const count = new Float64Array(bins);
  const rows = Math.max(1, Math.floor((w * h) / ENOUGH_PX));
  const columns = squaresAlong(w, side, core.shift, core.width);
  const lines = squaresAlong(h, side, core.shift, core.data.length / core.width);
  for (let y = 0; y < h; y += rows) {
    const row = lines[y] * core.width;
    const set = setOfRow(near, y);
    for (let k = near.sets[set]; k < near.sets[set + 1]; k += 2) {
      const [from, to] = [near.edges[k], near.edges[k + 1]];
      addSpan(contrast, mask.data, depthPx, awayPx, y * w, from, to, core.data, row, columns, finer, sum, count);
    }
  }
  const profile: { at: number; fall: number }[] = [];
  for (let b = 0; b < bins; b++)
    if (count[b] > FEW) profile.push({ at: (b + 0.5) * STEP - REACH, fall: sum[b] / count[b] });
  const inner = profile.filter((p) => p.at > 1.5);
  if (inner.length < 2) return null;
  const plateau = Math.max(...inner.map((p) => p.fall));
  const at90 = crossing(profile, 0.9 * plateau);
  const at10 = crossing(profile, 0.1 * plateau);
  return at90 === null || at10 === null ? null : finer * Math.max(0.5, at90 - at10);
}

/** The core's square that each pixel of a row or column belongs to. */
function squaresAlong(length: number, side: number, shift: number, squares: number): Int32Array {
  return Int32Array.from({ length }, (_, x) => Math.min(squares - 1, Math.floor(x / side) >> shift));
}

/** A part of one row's falls onto the bins by the signed distance from the edge, which is positive inside. */
function addSpan(
  contrast: Float32Array,
  inside: Uint8Array,
  depthPx: Float32Array,
  awayPx: Float32Array,
  start: number,
  from: number,
  to: number,
  core: Float32Array,
  coreRow: number,
  columns: Int32Array,
  finer: number,
  sum: Float64Array,
  count: Float64Array,
): void {
  for (let x = from, i = start + from; x < to; x++, i++) {
    const signed = (inside[i] === 0 ? 0.5 - awayPx[i] : depthPx[i] - 0.5) / finer;
    if (signed <= -REACH || signed >= REACH) continue;
    const own = core[coreRow + columns[x]];
    if (own <= 0) continue;
    const bin = Math.floor((signed + REACH) / STEP);
    sum[bin] += contrast[i] / own;
    count[bin]++;
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
