/** Which piece of a region a small picture shows: the one with the most ink. Pure. */
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import type { BoxPx } from '../scans/readScan.ts';
import type { LabAnswer } from './messages.ts';

/** Cells of the raster that the place is looked for in, mm: a few to the width of a line with its space. Common practice, no source. */
export const PLACE_CELL_MM = 0.4;
/** Farther from the paper than this, ink is ink, however dark, in CIELAB units: else one dark blot would win. */
const ENOUGH = 30;
/** Nearer to the paper than this, a cell is paper with its texture, CIELAB units. */
const PAPER = 3;

/**
 * @param boxPx the region. @param scanPx width and height of the whole scan. @param windowPx of the piece wanted.
 * @param raster the region in coarse cells.
 * @returns a box of exactly the wanted size as long as the scan has room for it: within the region, about its middle where the region is smaller.
 */
export function thumbnailPlace(
  boxPx: BoxPx,
  scanPx: readonly [width: number, height: number],
  windowPx: readonly [width: number, height: number],
  raster: LabAnswer,
): BoxPx {
  const ink = inkOf(raster);
  const cell = [boxPx[2] / raster.columns, boxPx[3] / raster.rows] as const;
  const across = Math.max(1, Math.min(raster.columns, Math.round(windowPx[0] / cell[0])));
  const down = Math.max(1, Math.min(raster.rows, Math.round(windowPx[1] / cell[1])));
  const [column, row] = fullest(ink, raster, across, down);
  const middle = [boxPx[0] + (column + across / 2) * cell[0], boxPx[1] + (row + down / 2) * cell[1]] as const;
  const along = (axis: 0 | 1): readonly [from: number, length: number] => {
    const length = Math.min(windowPx[axis], scanPx[axis]);
    const roomy = boxPx[axis + 2] >= length;
    const [low, high] = roomy ? [boxPx[axis], boxPx[axis] + boxPx[axis + 2] - length] : [0, scanPx[axis] - length];
    const wanted = (roomy ? middle[axis] : boxPx[axis] + boxPx[axis + 2] / 2) - length / 2;
    return [Math.min(Math.max(wanted, low, 0), high, scanPx[axis] - length), length];
  };
  const [x, width] = along(0);
  const [y, height] = along(1);
  return [x, y, width, height];
}

/** How inked each cell is, 0..ENOUGH: its distance from the colour that half of the cells lie about, which is paper. */
function inkOf({ data, columns, rows }: LabAnswer): Float32Array {
  const [L, a, b] = [0, 1, 2].map((k) => {
    const values = new Int16Array(columns * rows);
    for (let i = 0; i < values.length; i++) values[i] = data[3 * i + k];
    values.sort();
    return values[values.length >> 1] / LAB_RASTER_SCALE;
  });
  const ink = new Float32Array(columns * rows);
  for (let i = 0, at = 0; i < ink.length; i++, at += 3) {
    const dL = data[at] / LAB_RASTER_SCALE - L;
    const da = data[at + 1] / LAB_RASTER_SCALE - a;
    const db = data[at + 2] / LAB_RASTER_SCALE - b;
    const away = Math.sqrt(dL * dL + da * da + db * db);
    ink[i] = away < PAPER ? 0 : Math.min(away, ENOUGH);
  }
  return ink;
}

/** What ink in the first and last row of a window costs, as if that share of its height were as full: lines of writing stand whole. */
const CUT = 0.5;

/** The window with the most ink; of several the one nearest to the middle. */
function fullest(
  ink: Float32Array,
  { columns, rows }: LabAnswer,
  across: number,
  down: number,
): readonly [column: number, row: number] {
  // Sums of all cells above and left of each, with an empty row and column before the first.
  const wide = columns + 1;
  const sums = new Float64Array(wide * (rows + 1));
  for (let y = 0; y < rows; y++) {
    for (let x = 0, line = 0; x < columns; x++) {
      line += ink[y * columns + x];
      sums[(y + 1) * wide + x + 1] = sums[y * wide + x + 1] + line;
    }
  }
  const within = (x: number, from: number, to: number): number =>
    sums[to * wide + x + across] - sums[from * wide + x + across] - sums[to * wide + x] + sums[from * wide + x];
  let best: readonly [number, number] = [(columns - across) >> 1, (rows - down) >> 1];
  let most = -Infinity;
  let off = Infinity;
  for (let y = 0; y + down <= rows; y++) {
    for (let x = 0; x + across <= columns; x++) {
      const sum =
        within(x, y, y + down) - ((CUT * down) / 2) * (within(x, y, y + 1) + within(x, y + down - 1, y + down));
      const away = Math.hypot(x - (columns - across) / 2, y - (rows - down) / 2);
      if (sum > most + 1e-6 || (sum > most - 1e-6 && away < off)) [best, most, off] = [[x, y], sum, away];
    }
  }
  return best;
}
