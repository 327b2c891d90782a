/** The Lab raster of what is in view: which part of the scan to ask for, and which of its pixels lies where. */
import { labD50, labToXyz, xyzToLab } from '../../analysis/colour/lab.ts';
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { Size, ViewPlace } from '../viewer/viewPlace.ts';

export interface BoxPx {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface LabRequest {
  readonly box: BoxPx;
  readonly columns: number;
}

/** A raster and where on the scan it lies. */
export interface LabView {
  readonly box: BoxPx;
  readonly columns: number;
  readonly rows: number;
  /** L*, a*, b* × LAB_RASTER_SCALE, interleaved, row by row. */
  readonly data: Int16Array;
}

/** More would cost more time than the eye gains. */
export const MOST_PIXELS = 1_000_000;

/** What is in view, at the screen's resolution or the scan's, whichever is coarser. Null: the scan is out of sight. */
export function labRequest(place: ViewPlace, scan: Size, mostPixels = MOST_PIXELS): LabRequest | null {
  const [left, top, across, down] = place.boxPx;
  const x = Math.max(0, Math.floor(left));
  const y = Math.max(0, Math.floor(top));
  const width = Math.min(scan.width, Math.ceil(left + across)) - x;
  const height = Math.min(scan.height, Math.ceil(top + down)) - y;
  if (width < 1 || height < 1) return null;
  const scale = Math.min(1, place.screenPerPx, Math.sqrt(mostPixels / (width * height)));
  return { box: { x, y, width, height }, columns: Math.max(1, Math.floor(width * scale)) };
}

/** Column and row that hold a place of the scan; null: outside. */
export function labPixel({ box, columns, rows }: Omit<LabView, 'data'>, [x, y]: Point): Point | null {
  const column = Math.floor(((x - box.x) / box.width) * columns);
  const row = Math.floor(((y - box.y) / box.height) * rows);
  return column >= 0 && row >= 0 && column < columns && row < rows ? [column, row] : null;
}

/**
 * Mean colour of a disc, averaged in XYZ (light adds up, Lab does not); null: the disc's middle is not in the raster.
 * A disc smaller than a pixel takes the pixel that it lies in.
 */
export function meanLab(view: LabView, at: Point, radiusPx: number): LabValue | null {
  const middle = labPixel(view, at);
  if (!middle) return null;
  const { box, columns, rows, data } = view;
  const perX = columns / box.width;
  const perY = rows / box.height;
  const [centreX, centreY] = [(at[0] - box.x) * perX, (at[1] - box.y) * perY];
  const [reachX, reachY] = [radiusPx * perX, radiusPx * perY];
  const sum: [number, number, number] = [0, 0, 0];
  let count = 0;
  const add = (column: number, row: number): void => {
    const xyz = labToXyz(labD50(...labAt(data, row * columns + column)));
    for (let c = 0; c < 3; c++) sum[c] += xyz[c];
    count++;
  };
  const lastRow = Math.min(rows - 1, Math.floor(centreY + reachY));
  const lastColumn = Math.min(columns - 1, Math.floor(centreX + reachX));
  for (let row = Math.max(0, Math.floor(centreY - reachY)); row <= lastRow; row++) {
    for (let column = Math.max(0, Math.floor(centreX - reachX)); column <= lastColumn; column++) {
      if (Math.hypot((column + 0.5 - centreX) / reachX, (row + 0.5 - centreY) / reachY) <= 1) add(column, row);
    }
  }
  if (count === 0) add(middle[0], middle[1]);
  const [L, a, b] = xyzToLab([sum[0] / count, sum[1] / count, sum[2] / count]);
  return [L, a, b];
}

function labAt(data: Int16Array, pixel: number): LabValue {
  const i = 3 * pixel;
  return [data[i] / LAB_RASTER_SCALE, data[i + 1] / LAB_RASTER_SCALE, data[i + 2] / LAB_RASTER_SCALE];
}
