/** The bare paper of one paper on one scan, gathered in cells while the scan streams by in bands. Runs in a worker. */
import { type CompiledCalibration, linearise, type LinearRoom, linearRoom } from '../../analysis/calibrate/apply.ts';
import { scaleCounter } from '../../analysis/calibrate/scaleUse.ts';
import { printOnPaper } from '../../analysis/locate/besidePrint.ts';
import { cellSizePx, everyRow, isLookedAt, pageCells } from '../../analysis/locate/pageCells.ts';
import { isResampled, LEAST_STRIP_PX, stripRows } from '../../analysis/locate/resampled.ts';
import { findPaper, isWrittenOn, type PageCell, type PaperSurface } from '../../analysis/locate/paperSurface.ts';
import { barePaperFromSurface, barePaperOf } from '../../analysis/measure/barePaper.ts';
import { shadedPaper } from '../../analysis/measure/shadedPaper.ts';
import type { DeviceRaster, LinearRaster } from '../../analysis/raster/raster.ts';
import { type BoxPx, readScan } from '../scans/readScan.ts';
import { keepsItsScale } from '../scans/otherSettings.ts';
import { scanBands } from './scanBands.ts';
import { compiled } from './compiled.ts';
import type { PaperResult, PaperTask } from './tasks.ts';

export async function findBarePaper(task: PaperTask): Promise<PaperResult> {
  const { info, dpi } = task;
  const calibration = compiled(task.calibration);
  const cellPx = cellSizePx(dpi);
  const cells: PageCell[] = [];
  const room = linearRoom(task.boxPx[2] * Math.ceil(cellPx / everyRow(dpi)));
  const scale = keepsItsScale(info) ? scaleCounter(info.bits) : null;
  const wanted = (topPx: number): boolean => isWanted(topPx, cellPx, task);
  for await (const band of scanBands(info, dpi, task.boxPx, cellPx, wanted)) {
    scale?.take(band, everyRow(dpi));
    // A row of cells at a time: linear signals take twice the room of what was scanned.
    for (let top = 0; top + cellPx <= band.heightPx; top += cellPx) {
      if (!wanted(band.originPx[1] + top)) continue;
      cells.push(...cellsOf(someRows(band, top, cellPx, calibration, room), cellPx, task));
    }
  }
  const paper = findPaper(cells);
  const marked = isWrittenOn(cells) ? null : await meanOfMarked(task, calibration, paper);
  const bare = marked === null ? paper && barePaperFromSurface(paper, calibration) : barePaperOf(marked, calibration);
  const resampled = task.writtenPx.length > 0 && (await wasResampled(task));
  return { paper, bare, ...(resampled && { resampled }), ...(scale && { scale: scale.done() }) };
}

/** By a strip of the page, about what was marked as bare where that is. Only edges of lines depend on it; JPEG leaves no noise to tell by. */
async function wasResampled({ info, dpi, boxPx, markedPx }: PaperTask): Promise<boolean> {
  const [left, top, widthPx, heightPx] = boxPx;
  if (!keepsItsScale(info) || Math.min(widthPx, heightPx) < LEAST_STRIP_PX) return false;
  const [, y, , h] = markedPx[0] ?? boxPx;
  const rows = Math.min(heightPx, stripRows(widthPx));
  const from = Math.max(top, Math.min(top + heightPx - rows, Math.round(y + h / 2 - rows / 2)));
  return isResampled(await readScan(info.file, [left, from, widthPx, rows], dpi, info));
}

/** Of many rows of cells some tell the paper, and all that the person marked. */
function isWanted(topPx: number, cellPx: number, { boxPx, markedPx }: PaperTask): boolean {
  const [, top, width, height] = boxPx;
  const [across, down] = [Math.floor(width / cellPx), Math.floor(height / cellPx)];
  return (
    isLookedAt(Math.round((topPx - top) / cellPx), across, down) ||
    markedPx.some(([, y, , h]) => topPx < y + h && topPx + cellPx > y)
  );
}

/** Linear signals of one row of cells, of as many of its rows as are needed; in the same room for each. */
function someRows(
  band: DeviceRaster,
  top: number,
  cellPx: number,
  calibration: CompiledCalibration,
  room: LinearRoom,
): LinearRaster {
  const every = everyRow(band.dpi);
  if (every === 1) return linearise(rowsOf(band, top, cellPx), calibration, room);
  const { widthPx } = band;
  const { data, clipped } = room;
  const rows = Math.ceil(cellPx / every);
  for (let k = 0; k < rows; k++) {
    const row = { data: data.subarray(3 * widthPx * k), clipped: clipped.subarray(widthPx * k) };
    linearise(rowsOf(band, top + k * every, 1), calibration, row);
  }
  const originPx = [band.originPx[0], band.originPx[1] + top] as const;
  return { data, clipped, widthPx, heightPx: rows, dpi: band.dpi, originPx };
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
  return pageCells(
    band,
    cellPx,
    (x, y) => {
      const lies = ([bx, by, bw, bh]: BoxPx) => x >= bx && y >= by && x + cellPx <= bx + bw && y + cellPx <= by + bh;
      return task.markedPx.some(lies) ? 'marked' : task.writtenPx.some(lies) ? 'written' : 'elsewhere';
    },
    everyRow(task.dpi),
  );
}

/** Mean signal over all pixels that the person marked as bare, printed and shaded ones left out; null without a mark. */
async function meanOfMarked(
  task: PaperTask,
  calibration: CompiledCalibration,
  paper: PaperSurface | null,
): Promise<readonly [number, number, number] | null> {
  const sum = [0, 0, 0];
  let n = 0;
  for (const box of task.markedPx) {
    const patch = linearise(await readScan(task.info.file, box, task.dpi, task.info), calibration);
    const print = paper && printOnPaper(patch, paper);
    const shaded = shadedPaper(patch, print);
    for (let p = 0, i = 0; i < patch.data.length; p++, i += 3) {
      if (print?.[p] || shaded?.[p]) continue;
      for (let c = 0; c < 3; c++) sum[c] += patch.data[i + c];
      n++;
    }
  }
  return n === 0 ? null : [sum[0] / n, sum[1] / n, sum[2] / n];
}
