import { surfaceAt } from '../raster/lowOrderSurface.ts';
import type { LinearRaster } from '../raster/raster.ts';
import type { PaperSurface } from './paperSurface.ts';

/** Signal over the page's paper surface, 3 a pixel. @param ratio Where it goes; the signal's own room may be given. */
export function ratioToPaper(signal: LinearRaster, paper: PaperSurface, ratio: Float32Array): void {
  const { data, widthPx, heightPx, dpi, originPx } = signal;
  const mmPerPx = 25.4 / dpi;
  const at = new Float64Array(3);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      // The surface is smooth: every eighth pixel is near enough.
      if (x % 8 === 0) surfaceAt(paper.surface, (originPx[0] + x + 4) * mmPerPx, (originPx[1] + y + 0.5) * mmPerPx, at);
      const i = 3 * (y * widthPx + x);
      ratio[i] = data[i] / at[0];
      ratio[i + 1] = data[i + 1] / at[1];
      ratio[i + 2] = data[i + 2] / at[2];
    }
  }
}
