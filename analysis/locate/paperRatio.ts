import { surfaceAt } from '../raster/lowOrderSurface.ts';
import type { LinearRaster } from '../raster/raster.ts';
import type { PaperSurface } from './paperSurface.ts';

/** Signal over the page's paper surface, 3 a pixel. @param ratio Where it goes; the signal's own room may be given. */
export function ratioToPaper(signal: LinearRaster, paper: PaperSurface, ratio: Float32Array): void {
  const { data, widthPx, heightPx, dpi, originPx } = signal;
  const mmPerPx = 25.4 / dpi;
  const at = new Float64Array(3);
  for (let y = 0; y < heightPx; y++) {
    const yMm = (originPx[1] + y + 0.5) * mmPerPx;
    // The surface is smooth: every eighth pixel is near enough.
    for (let x = 0; x < widthPx; x += 8) {
      surfaceAt(paper.surface, (originPx[0] + x + 4) * mmPerPx, yMm, at);
      const red = 1 / at[0];
      const green = 1 / at[1];
      const blue = 1 / at[2];
      const end = 3 * (y * widthPx + Math.min(widthPx, x + 8));
      for (let i = 3 * (y * widthPx + x); i < end; i += 3) {
        ratio[i] = data[i] * red;
        ratio[i + 1] = data[i + 1] * green;
        ratio[i + 2] = data[i + 2] * blue;
      }
    }
  }
}
