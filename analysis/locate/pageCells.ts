/** A page's means and standard deviations by small squares, from which its bare paper is found (paperSurface.ts). */
import type { LinearRaster } from '../raster/raster.ts';
import { triple } from '../triple.ts';
import type { PageCell } from './paperSurface.ts';

/** Side of a cell. Common practice, no source: some hundreds of pixels, narrower than the space between written lines. */
const CELL_MM = 1.5;

export function cellSizePx(dpi: number): number {
  return Math.max(4, Math.round((CELL_MM * dpi) / 25.4));
}

/** Of this many an inch is enough for means and scatter: finer scans are read in some of their rows. */
const ROWS_PER_INCH = 300;

/** Every how many-th row tells the paper. */
export function everyRow(dpi: number): number {
  return Math.max(1, Math.floor(dpi / ROWS_PER_INCH));
}

/** Whole cells of a band. @param placeOf By a cell's top-left pixel in the scan. @param every The band holds only every so many-th row. */
export function pageCells(
  band: LinearRaster,
  cellPx: number,
  placeOf: (xPx: number, yPx: number) => PageCell['place'],
  every = 1,
): PageCell[] {
  const { data, widthPx, heightPx, dpi, originPx, clipped } = band;
  const mmPerPx = 25.4 / dpi;
  const cells: PageCell[] = [];
  const rows = Math.ceil(cellPx / every);
  for (let top = 0; top + rows <= heightPx; top += rows) {
    for (let left = 0; left + cellPx <= widthPx; left += cellPx) {
      let [r, g, b, rr, gg, bb] = [0, 0, 0, 0, 0, 0];
      let atEnd = 0;
      for (let y = top; y < top + rows; y++) {
        for (let p = y * widthPx + left, end = p + cellPx; p < end; p++) {
          const red = data[3 * p];
          const green = data[3 * p + 1];
          const blue = data[3 * p + 2];
          r += red;
          g += green;
          b += blue;
          rr += red * red;
          gg += green * green;
          bb += blue * blue;
          atEnd += clipped[p];
        }
      }
      const n = cellPx * rows;
      const [sum, squares] = [
        [r, g, b],
        [rr, gg, bb],
      ];
      const mean = triple((c) => sum[c] / n);
      const sd = triple((c) => Math.sqrt(Math.max(0, squares[c] / n - mean[c] * mean[c])));
      const [x, y] = [originPx[0] + left, originPx[1] + (top / rows) * cellPx];
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
