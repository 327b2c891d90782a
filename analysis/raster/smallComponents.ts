import { joinedRuns, rootOf } from './components.ts';
import type { Mask } from './raster.ts';

/** Clears, in place, every 8-connected component of fewer than `minPx` pixels. */
export function dropSmallComponents(mask: Mask, minPx: number): void {
  const { runs, parent, count } = joinedRuns(mask);
  const areas = new Int32Array(count);
  for (let run = 0; run < count; run++) areas[rootOf(parent, run)] += runs[3 * run + 2] - runs[3 * run + 1] + 1;
  for (let run = 0; run < count; run++) {
    if (areas[rootOf(parent, run)] >= minPx) continue;
    const row = runs[3 * run] * mask.widthPx;
    mask.data.fill(0, row + runs[3 * run + 1], row + runs[3 * run + 2] + 1);
  }
}
