/** The bare paper of one paper on one scan, gathered in cells while the scan streams by in bands. Runs in a worker. */
import { type CompiledCalibration, linearise } from '../../analysis/calibrate/apply.ts';
import { findPaper, type PageCell } from '../../analysis/locate/paperSurface.ts';
import { barePaperFromSurface, barePaperOf } from '../../analysis/measure/barePaper.ts';
import type { DeviceRaster, LinearRaster } from '../../analysis/raster/raster.ts';
import { type BoxPx, readScan } from '../scans/readScan.ts';
import { scanBands } from './scanBands.ts';
import { compiled } from './compiled.ts';
import type { PaperResult, PaperTask } from './tasks.ts';
import { triple } from '../../analysis/triple.ts';

const CELL_MM = 1.5;

export async function findBarePaper(task: PaperTask): Promise<PaperResult> {
  const { info, dpi } = task;
  const calibration = compiled(task.calibration);
  const cellPx = Math.max(4, Math.round((CELL_MM * dpi) / 25.4));
  const cells: PageCell[] = [];
  for await (const band of scanBands(info, dpi, task.boxPx, cellPx)) {
    // A row of cells at a time: linear signals take twice the room of what was scanned.
    for (let top = 0; top + cellPx <= band.heightPx; top += cellPx) {
      cells.push(...cellsOf(linearise(rowsOf(band, top, cellPx), calibration), cellPx, task));
    }
  }
  const paper = findPaper(cells);
  const marked = await meanOfMarked(task, calibration);
  if (marked !== null) return { paper, bare: barePaperOf(marked, calibration) };
  return { paper, bare: paper && barePaperFromSurface(paper, calibration) };
}

function rowsOf(band: DeviceRaster, top: number, rows: number): DeviceRaster {
  const { data, widthPx, originPx } = band;
  return {
    ...band,
    data: data.subarray(3 * widthPx * top, 3 * widthPx * (top + rows)),
    heightPx: rows,
    originPx: [originPx[0], originPx[1] + top],
  };
}

function cellsOf(band: LinearRaster, cellPx: number, task: PaperTask): PageCell[] {
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
      const lies = ([bx, by, bw, bh]: BoxPx) => x >= bx && y >= by && x + cellPx <= bx + bw && y + cellPx <= by + bh;
      const place = task.markedPx.some(lies) ? 'marked' : task.writtenPx.some(lies) ? 'written' : 'elsewhere';
      cells.push({
        xMm: (x + cellPx / 2) * mmPerPx,
        yMm: (y + cellPx / 2) * mmPerPx,
        mean,
        sd,
        place,
        clippedShare: atEnd / n,
      });
    }
  }
  return cells;
}

/** Mean signal over all pixels that the person marked as bare; null without a mark. */
async function meanOfMarked(
  task: PaperTask,
  calibration: CompiledCalibration,
): Promise<readonly [number, number, number] | null> {
  const sum = [0, 0, 0];
  let n = 0;
  for (const box of task.markedPx) {
    const { data } = linearise(await readScan(task.info.file, box, task.dpi, task.info), calibration);
    for (let i = 0; i < data.length; i++) sum[i % 3] += data[i];
    n += data.length / 3;
  }
  return n === 0 ? null : [sum[0] / n, sum[1] / n, sum[2] / n];
}
