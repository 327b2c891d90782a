/** A page's means and standard deviations by small squares, from which its bare paper is found (paperSurface.ts). */
import type { LinearRaster } from '../raster/raster.ts';
import { triple } from '../triple.ts';
import type { PageCell } from './paperSurface.ts';

/** Side of a cell. Common practice, no source: some hundreds of pixels, narrower than the space between written lines. */
const CELL_MM = 1.5;

/** At least 4 px: fewer tell no scatter. */
export function cellSizePx(dpi: number): number {
  return Math.max(4, Math.round((CELL_MM * dpi) / 25.4));
}

/** Of this many an inch is enough for means and scatter: finer scans are read in some of their rows. */
const ROWS_PER_INCH = 300;

/** Every how many-th row tells the paper. */
export function everyRow(dpi: number): number {
  return Math.max(1, Math.floor(dpi / ROWS_PER_INCH));
}

/** So many cells tell a paper's surface and what is usual on it: of a page with more only some rows are looked at. */
const ENOUGH_CELLS = 7000;

/** Whether the n-th row of a page's cells is looked at: one in so many, each drawn by chance, since rules may lie at any even pitch. */
export function isLookedAt(n: number, across: number, down: number): boolean {
  const oneIn = Math.max(1, Math.floor((across * down) / ENOUGH_CELLS));
  const group = Math.floor(n / oneIn);
  let h = Math.imul(group + 1, 0x9e3779b1);
  h = Math.imul(h ^ (h >>> 15), 0x85ebca6b);
  return n - group * oneIn === ((h ^ (h >>> 13)) >>> 0) % oneIn;
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
  const n = cellPx * rows;
  const sums = new Float64Array(7);
  for (let top = 0; top + rows <= heightPx; top += rows) {
    for (let left = 0; left + cellPx <= widthPx; left += cellPx) {
      sums.fill(0);
      for (let p = top * widthPx + left, end = p + rows * widthPx; p < end; p += widthPx) {
        addPixels(data, clipped, p, cellPx, sums);
      }
      const mean = triple((c) => sums[c] / n);
      const sd = triple((c) => Math.sqrt(Math.max(0, sums[3 + c] / n - mean[c] * mean[c])));
      const [x, y] = [originPx[0] + left, originPx[1] + (top / rows) * cellPx];
      cells.push({
        xMm: (x + cellPx / 2) * mmPerPx,
        yMm: (y + cellPx / 2) * mmPerPx,
        mean,
        sd,
        place: placeOf(x, y),
        clippedShare: sums[6] / n,
      });
    }
  }
  return cells;
}

/** To the sums of three channels, of their squares, and of clipped pixels; one row of a cell, so that it is soon compiled. */
function addPixels(data: Float32Array, clipped: Uint8Array, from: number, count: number, sums: Float64Array): void {
  let [r, g, b, rr, gg, bb] = [0, 0, 0, 0, 0, 0];
  let atEnd = 0;
  for (let p = from, i = 3 * from; p < from + count; p++, i += 3) {
    const red = data[i];
    const green = data[i + 1];
    const blue = data[i + 2];
    r += red;
    g += green;
    b += blue;
    rr += red * red;
    gg += green * green;
    bb += blue * blue;
    atEnd += clipped[p];
  }
  sums[0] += r;
  sums[1] += g;
  sums[2] += b;
  sums[3] += rr;
  sums[4] += gg;
  sums[5] += bb;
  sums[6] += atEnd;
}
