/** A bare white sheet's scan, read in bands: cells of even paper from which the light over the bed is told. */
import type { DeviceRaster } from '../raster/raster.ts';
import type { BoxMm, SurroundReading } from './calibration.ts';
import { CalibrationError } from './calibrationError.ts';
import { PixelList } from './pixelList.ts';
import type { BandReader, Frame } from './readPatches.ts';
import { trimmedStatistics } from './trimmedStatistics.ts';

/** Small against how light changes, large against paper's fibres. */
const CELL_MM = 5;
/** Plenty for means. */
const READ_DPI = 100;
/** Dust and fibres have no say. */
const TRIM = 0.25;
/** Device values of neighbouring cells differ by less on one sheet, relative; a lid or a second sheet differs by more within two cells. */
const STEP = 0.02;
const TWO_STEPS = 0.028;
/** A pixel is written on below this share of its cell's median, and a cell with more than this share of such pixels. */
const WRITTEN_LEVEL = 0.92;
const WRITTEN_SHARE = 0.03;
/** Of the sheet's cells: more written or missing ones, and it is not bare. Lines of writing take a tenth and more. */
const MOST_WRITTEN = 0.02;
const MOST_MISSING = 0.05;
const CLIPPED_SHARE = 0.005;
const MOST_CLIPPED = 0.02;
/** Device value: darker, and nobody would call it white. */
const LEAST_LEVEL = 0.35;
const LEAST_SIDE_MM = 40;

export interface WhiteSheet {
  /** Cells of bare paper, a cell from the sheet's edges on. */
  readonly cells: readonly SurroundReading[];
  /** What they cover of the bed. */
  readonly boxMm: BoxMm;
  /** What was scanned of the bed. */
  readonly scanMm: BoxMm;
}

interface Cell {
  readonly device: readonly [number, number, number];
  readonly pixels: number;
  readonly written: boolean;
  readonly clipped: boolean;
}

/** Its `done` throws a CalibrationError 'white-not-bare' or 'white-clipped'. */
export function whiteSheetReader(frame: Frame, name: string): BandReader<WhiteSheet> {
  const stride = Math.max(1, Math.round(frame.dpi / READ_DPI));
  const cellPx = (CELL_MM * frame.dpi) / 25.4;
  const columns = Math.max(1, Math.floor(frame.widthPx / cellPx));
  const rows = Math.max(1, Math.floor(frame.heightPx / cellPx));
  const top = frame.bits === 8 ? 255 : 65535;
  const cells: (Cell | null)[] = Array.from({ length: columns * rows }, () => null);
  let open = Array.from({ length: columns }, () => new PixelList());
  let row = 0;
  const finish = (): void => {
    open.forEach((list, column) => (cells[row * columns + column] = cellOf(list, top)));
    open = Array.from({ length: columns }, () => new PixelList());
  };
  return {
    boxPx: [0, 0, frame.widthPx, frame.heightPx],
    take(band) {
      const bandTop = band.originPx[1] - frame.originPx[1];
      const left = band.originPx[0] - frame.originPx[0];
      for (let y = bandTop; y < bandTop + band.heightPx; y++) {
        const at = Math.floor(y / cellPx);
        if (at >= rows) break;
        if (at !== row) finish();
        row = at;
        if (y % stride === 0) gatherRow(band, y - bandTop, left, stride, cellPx, open);
      }
    },
    done() {
      finish();
      return sheetOf(cells, columns, rows, frame, name);
    },
  };
}

function gatherRow(
  band: DeviceRaster,
  line: number,
  left: number,
  stride: number,
  cellPx: number,
  open: readonly PixelList[],
): void {
  for (let x = 0; x < band.widthPx; x += stride) {
    const column = Math.floor((left + x) / cellPx);
    if (column < open.length) open[column].push(band.data, 3 * (line * band.widthPx + x));
  }
}

function cellOf(list: PixelList, top: number): Cell | null {
  if (list.pixels < 30) return null;
  const pixels = list.taken();
  const { mean, clippedShare } = trimmedStatistics(pixels, top, TRIM);
  const limits = mean.map((value) => value * top * WRITTEN_LEVEL);
  let dark = 0;
  for (let i = 0; i < pixels.length; i += 3) {
    if (pixels[i] < limits[0] || pixels[i + 1] < limits[1] || pixels[i + 2] < limits[2]) dark++;
  }
  return {
    device: mean,
    pixels: list.pixels,
    written: dark > WRITTEN_SHARE * list.pixels,
    clipped: clippedShare > CLIPPED_SHARE,
  };
}

function sheetOf(
  cells: readonly (Cell | null)[],
  columns: number,
  rows: number,
  frame: Frame,
  name: string,
): WhiteSheet {
  const inside = floodFrom(startOf(cells, columns, rows), cells, columns, rows);
  const at = [...inside];
  const [left, right] = [least(at.map((i) => i % columns)), most(at.map((i) => i % columns))];
  const [up, down] = [least(at.map((i) => Math.floor(i / columns))), most(at.map((i) => Math.floor(i / columns)))];
  const placeMm = (column: number, row: number): readonly [number, number] => [
    (frame.originPx[0] * 25.4) / frame.dpi + (column + 0.5) * CELL_MM,
    (frame.originPx[1] * 25.4) / frame.dpi + (row + 0.5) * CELL_MM,
  ];
  const level = at.length === 0 ? 0 : cells[at[0]]!.device[1];
  const width = (right - left + 1) * CELL_MM;
  const height = (down - up + 1) * CELL_MM;
  if (at.length === 0 || level < LEAST_LEVEL || Math.min(width, height) < LEAST_SIDE_MM) {
    throw new CalibrationError(
      'white-not-bare',
      at.length === 0 || level < LEAST_LEVEL
        ? `${name}: no white sheet is seen (its lightest even part has ${percent(level)} of the device scale). Scan one bare white sheet over the whole bed.`
        : `${name}: only ${width} × ${height} mm of even white are seen, at least ${LEAST_SIDE_MM} × ${LEAST_SIDE_MM} mm are needed. ` +
            `Scan one bare white sheet over the whole bed, without writing or folds.`,
    );
  }
  const clipped = at.filter((i) => cells[i]!.clipped).length;
  if (clipped > MOST_CLIPPED * at.length) {
    throw new CalibrationError(
      'white-clipped',
      `${name}: ${percent(clipped / at.length)} of the white sheet lies at the top of the scale, where light cannot be told. ` +
        `Scan sheet and target with less exposure, or use a slightly darker sheet.`,
    );
  }
  const box = (right - left + 1) * (down - up + 1);
  const missing = box - at.length;
  const written = at.filter((i) => cells[i]!.written).length;
  if (missing > MOST_MISSING * box || written > MOST_WRITTEN * at.length) {
    const first = firstFlaw(cells, inside, columns, [left, up, right, down]);
    const [x, y] = placeMm(first % columns, Math.floor(first / columns));
    throw new CalibrationError(
      'white-not-bare',
      `${name}: ${percent((missing + written) / box)} of the white sheet is not bare (writing, lines, folds or dirt, the first at ` +
        `${x.toFixed(0)}, ${y.toFixed(0)} mm); up to ${percent(MOST_WRITTEN)} can be left out. Scan a bare, unruled white sheet.`,
    );
  }
  const kept = at.filter((i) => !cells[i]!.written && isWithin(i, inside, columns, rows));
  return {
    cells: kept.map((i) => ({
      device: cells[i]!.device,
      pixels: cells[i]!.pixels,
      placeMm: placeMm(i % columns, Math.floor(i / columns)),
    })),
    boxMm: around(kept.map((i) => placeMm(i % columns, Math.floor(i / columns)))),
    scanMm: [
      (frame.originPx[0] * 25.4) / frame.dpi,
      (frame.originPx[1] * 25.4) / frame.dpi,
      (frame.widthPx * 25.4) / frame.dpi,
      (frame.heightPx * 25.4) / frame.dpi,
    ],
  };
}

/** Of the cells as light as the lightest quarter, the one nearest to the middle: -1 when there is none. */
function startOf(cells: readonly (Cell | null)[], columns: number, rows: number): number {
  const lightness = cells.map((cell) => (cell === null || cell.written ? 0 : cell.device[1]));
  const sorted = [...lightness].sort((a, b) => a - b);
  const enough = 0.9 * sorted[Math.floor(0.75 * (sorted.length - 1))];
  let start = -1;
  let nearest = Infinity;
  lightness.forEach((value, i) => {
    if (value < enough || value === 0) return;
    const distance = Math.hypot((i % columns) - (columns - 1) / 2, Math.floor(i / columns) - (rows - 1) / 2);
    if (distance >= nearest) return;
    nearest = distance;
    start = i;
  });
  return start;
}

function floodFrom(start: number, cells: readonly (Cell | null)[], columns: number, rows: number): Set<number> {
  const inside = new Set<number>();
  if (start < 0) return inside;
  inside.add(start);
  const queue = [start];
  for (let next = queue.pop(); next !== undefined; next = queue.pop()) {
    const from = cells[next]!;
    const column = next % columns;
    const row = Math.floor(next / columns);
    for (const [dx, dy] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ]) {
      const [x, y] = [column + dx, row + dy];
      if (x < 0 || y < 0 || x >= columns || y >= rows) continue;
      const i = y * columns + x;
      const cell = cells[i];
      if (cell === null || inside.has(i) || stepBetween(from, cell) > STEP) continue;
      const behind = column - dx >= 0 && column - dx < columns ? next - dy * columns - dx : -1;
      if (inside.has(behind) && stepBetween(cells[behind]!, cell) > TWO_STEPS) continue;
      inside.add(i);
      queue.push(i);
    }
  }
  return inside;
}

function stepBetween(a: Cell, b: Cell): number {
  return Math.max(...a.device.map((value, c) => Math.abs(b.device[c] / Math.max(value, 1e-6) - 1)));
}

/** Whether a cell lies a cell from the sheet's edge; the scan's own edge is none. */
function isWithin(i: number, inside: ReadonlySet<number>, columns: number, rows: number): boolean {
  const x = i % columns;
  const y = Math.floor(i / columns);
  return (
    (x === 0 || inside.has(i - 1)) &&
    (x === columns - 1 || inside.has(i + 1)) &&
    (y === 0 || inside.has(i - columns)) &&
    (y === rows - 1 || inside.has(i + columns))
  );
}

function firstFlaw(
  cells: readonly (Cell | null)[],
  inside: ReadonlySet<number>,
  columns: number,
  [left, up, right, down]: readonly [number, number, number, number],
): number {
  for (let y = up; y <= down; y++) {
    for (let x = left; x <= right; x++) {
      const i = y * columns + x;
      if (!inside.has(i) || cells[i]?.written === true) return i;
    }
  }
  return up * columns + left;
}

function around(places: readonly (readonly [number, number])[]): BoxMm {
  const [left, right] = [least(places.map((p) => p[0])), most(places.map((p) => p[0]))];
  const [up, down] = [least(places.map((p) => p[1])), most(places.map((p) => p[1]))];
  return [left, up, right - left, down - up];
}

function least(values: readonly number[]): number {
  return values.reduce((best, value) => Math.min(best, value), Infinity);
}

function most(values: readonly number[]): number {
  return values.reduce((best, value) => Math.max(best, value), -Infinity);
}

function percent(share: number): string {
  return `${(100 * share).toFixed(0)} %`;
}
