import { joinedRuns, rootOf } from './components.ts';
import type { Mask } from './raster.ts';

/** Clears, in place, every 8-connected component of fewer than `minPx` pixels. */
export function dropSmallComponents(mask: Mask, minPx: number): void {
  const { runs, parent, count } = joinedRuns(mask);
  const areas = new Int32Array(count);
  for (let from = 0; from < count; from += CHUNK) addAreas(runs, parent, from, Math.min(count, from + CHUNK), areas);
  for (let from = 0; from < count; from += CHUNK) {
    clearSmall(runs, parent, from, Math.min(count, from + CHUNK), areas, minPx, mask.data, mask.widthPx);
  }
}

/** So many runs at a time: what is called often is soon compiled. */
const CHUNK = 256;

function addAreas(runs: Int32Array, parent: Int32Array, from: number, to: number, areas: Int32Array): void {
  for (let run = from; run < to; run++) areas[rootOf(parent, run)] += runs[3 * run + 2] - runs[3 * run + 1] + 1;
}

function clearSmall(
  runs: Int32Array,
  parent: Int32Array,
  from: number,
  to: number,
  areas: Int32Array,
  minPx: number,
  data: Uint8Array,
  widthPx: number,
): void {
  for (let run = from; run < to; run++) {
    if (areas[rootOf(parent, run)] >= minPx) continue;
    const row = runs[3 * run] * widthPx;
    data.fill(0, row + runs[3 * run + 1], row + runs[3 * run + 2] + 1);
  }
}
