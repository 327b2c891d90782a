import { components } from './components.ts';
import type { Mask } from './raster.ts';

/** Clears, in place, every 8-connected component of fewer than `minPx` pixels. */
export function dropSmallComponents(mask: Mask, minPx: number): void {
  for (const { area, runs } of components(mask)) {
    if (area >= minPx) continue;
    for (let r = 0; r < runs.length; r += 3) {
      const row = runs[r] * mask.widthPx;
      mask.data.fill(0, row + runs[r + 1], row + runs[r + 2] + 1);
    }
  }
}
