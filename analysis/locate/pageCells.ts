/** A page's means and standard deviations by small squares, from which its bare paper is found (paperSurface.ts). */
import type { LinearRaster } from '../raster/raster.ts';
import { triple } from '../triple.ts';
import type { PageCell } from './paperSurface.ts';

/** Side of a cell. Common practice, no source: some hundreds of pixels, narrower than the space between written lines. */
const CELL_MM = 1.5;

export function cellSizePx(dpi: number): number {
  return Math.max(4, Math.round((CELL_MM * dpi) / 25.4));
}

/** Whole cells of a band. @param placeOf By a cell's top-left pixel in the scan. */
export function pageCells(
  band: LinearRaster,
  cellPx: number,
  placeOf: (xPx: number, yPx: number) => PageCell['place'],
): PageCell[] {
  const { data, widthPx, heightPx, dpi, originPx, clipped } = band;
  const mmPerPx = 25.4 / dpi;
  const cells: PageCell[] = [];
  for (let top = 0; top + cellPx <= heightPx; top += cellPx) {
    for (let left = 0; left + cellPx <= widthPx; left += cellPx) {
      const sum = [0, 0, 0];
      const squares = [0, 0, 0];
      let atEnd = 0;
      for (let y = top; y < top + cellPx; y++) {
        for (let x = left; x < left + cellPx; x++) atEnd += clipped[y * widthPx + x];
        for (let i = 3 * (y * widthPx + left), end = i + 3 * cellPx; i < end; i += 3) {
          for (let c = 0; c < 3; c++) {
            sum[c] += data[i + c];
            squares[c] += data[i + c] * data[i + c];
          }
        }
      }
      const n = cellPx * cellPx;
      const mean = triple((c) => sum[c] / n);
      const sd = triple((c) => Math.sqrt(Math.max(0, squares[c] / n - mean[c] * mean[c])));
      const [x, y] = [originPx[0] + left, originPx[1] + top];
      cells.push({
        xMm: (x + cellPx / 2) * mmPerPx,
        yMm: (y + cellPx / 2) * mmPerPx,
        mean,
        sd,
        place: placeOf(x, y),
        clippedShare: atEnd / n,
      });
    }
  }
  return cells;
}
