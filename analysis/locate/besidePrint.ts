/** What a patch of bare paper shows beside the rules or dots that are printed on it. */
import type { LinearRaster } from '../raster/raster.ts';
import { darknessMap } from './darknessMap.ts';
import { ratioToPaper } from './paperRatio.ts';
import type { PaperSurface } from './paperSurface.ts';
import { takeOffPrint } from './printedRules.ts';

/** 1 on pixels that print touches; null when nothing is printed there. */
export function printOnPaper(signal: LinearRaster, paper: PaperSurface): Uint8Array | null {
  const ratio = new Float32Array(signal.data.length);
  ratioToPaper(signal, paper, ratio);
  const touched = new Uint8Array(signal.widthPx * signal.heightPx);
  return takeOffPrint(() => ratio, signal, darknessMap(ratio, signal), paper.pixelNoise, touched) && touched;
}
