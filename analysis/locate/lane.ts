/**
 * Where on a strip of paper the colour ran: the strip's own edges, the lane inside it and its slow wander.
 * Works on block means of log signals, so that fibres and scanner noise hardly count.
 */
import type { LinearRaster } from '../raster/raster.ts';

/** A raster seen along the run: `along` counts from the end where the run starts, `across` over the strip. */
export interface StripView {
  readonly raster: LinearRaster;
  readonly along: number;
  readonly across: number;
  readonly pxMm: number;
  /** Index of (a, q)'s first channel is first + a·stepAlong + q·stepAcross. */
  readonly first: number;
  readonly stepAlong: number;
  readonly stepAcross: number;
}

export interface Lane {
  /** Across places in px from the box's side. The strip's paper lies between these. */
  readonly stripPx: readonly [from: number, to: number];
  /** Lane centre for every row along the run, px. */
  readonly centrePx: Float64Array;
  /** Half the lane's width at half height, px. */
  readonly halfWidthPx: number;
  /** Beyond this distance from the centre there is bare paper, px. */
  readonly clearPx: number;
  /** The colour reaches over the strip's whole width (or there is none to be seen). */
  readonly fillsStrip: boolean;
}

/** @param axis along which the liquid ran; @param reversed towards smaller coordinates: `along` then counts from the far side */
export function stripView(raster: LinearRaster, axis: 'x' | 'y', reversed: boolean): StripView {
  const { widthPx, heightPx, dpi } = raster;
  const along = axis === 'x' ? widthPx : heightPx;
  const across = axis === 'x' ? heightPx : widthPx;
  const step = axis === 'x' ? 3 : 3 * widthPx;
  return {
    raster,
    along,
    across,
    pxMm: 25.4 / dpi,
    first: reversed ? (along - 1) * step : 0,
    stepAlong: reversed ? -step : step,
    stepAcross: axis === 'x' ? 3 * widthPx : 3,
  };
}

const BLOCK_ALONG_MM = 0.6;
const BLOCK_ACROSS_MM = 0.3;
/** Least log10 step at a strip's edge, and least density of a lane, both summed over three channels. */
const EDGE_STEP = 0.015;
const EDGE_MARGIN_MM = 0.6;
const LANE_DENSITY = 0.008;
const WINDOW_MM = 4;
/** No drawn line is broader along the run (a pencil's, and what a block adds). */
const LINE_MM = 1.2;
/** Paper's clouds are larger than a block: a mean of blocks errs by this much more than if they were independent. */
const CLOUDS = 2.5;

/** @param rows only these rows along the run are looked at, [from, to) px: beyond them may lie the bed. */
export function findLane(view: StripView, rows: readonly [from: number, to: number]): Lane {
  const grid = blockMeans(view, rows);
  const [fromCol, toCol] = stripEdges(grid);
  const density = laneDensity(grid, fromCol, toCol);
  const windows = colouredWindows(grid, density, fromCol, toCol);
  const toPx = (col: number): number => col * grid.blockAcross;
  const whole = {
    stripPx: [toPx(fromCol), toPx(toCol)] as const,
    centrePx: new Float64Array(view.along).fill(toPx((fromCol + toCol) / 2)),
    halfWidthPx: toPx((toCol - fromCol) / 2),
    clearPx: toPx((toCol - fromCol) / 2),
    fillsStrip: true,
  };
  if (windows.length === 0) return whole;
  const path = followLane(grid, windows);
  const shape = straightened(grid, density, windows, path, fromCol, toCol);
  if (shape === null) return whole;
  return {
    stripPx: whole.stripPx,
    centrePx: rowsOfPath(view, grid, path, shape.shift),
    halfWidthPx: toPx(shape.half),
    clearPx: toPx(shape.clear),
    fillsStrip: false,
  };
}

interface Grid {
  readonly rows: number;
  readonly cols: number;
  readonly blockAlong: number;
  readonly blockAcross: number;
  readonly firstRow: number;
  /** −log10 of block means, 3 channels interleaved. */
  readonly values: Float64Array;
}

function blockMeans(view: StripView, range: readonly [number, number]): Grid {
  const blockAlong = Math.max(1, Math.round(BLOCK_ALONG_MM / view.pxMm));
  const blockAcross = Math.max(1, Math.round(BLOCK_ACROSS_MM / view.pxMm));
  const rows = Math.max(1, Math.floor((range[1] - range[0]) / blockAlong));
  const cols = Math.max(1, Math.floor(view.across / blockAcross));
  const values = new Float64Array(3 * rows * cols);
  const { data } = view.raster;
  for (let r = 0; r < rows * blockAlong && range[0] + r < view.along; r++) {
    const row = Math.floor(r / blockAlong);
    let at = view.first + (range[0] + r) * view.stepAlong;
    for (let q = 0; q < cols * blockAcross && q < view.across; q++, at += view.stepAcross) {
      const cell = 3 * (row * cols + Math.floor(q / blockAcross));
      values[cell] += data[at];
      values[cell + 1] += data[at + 1];
      values[cell + 2] += data[at + 2];
    }
  }
  const count = blockAlong * blockAcross;
  for (let i = 0; i < values.length; i++) values[i] = -Math.log10(Math.max(1e-4, values[i] / count));
  return { rows, cols, blockAlong, blockAcross, firstRow: range[0], values };
}

/**
 * A strip's edge is a step that keeps its size along the whole strip; a lane's flank comes and goes with the colour.
 * Returns the columns of paper, [from, to).
 */
function stripEdges(grid: Grid): [from: number, to: number] {
  const { rows, cols, values } = grid;
  const reach = Math.max(1, Math.round(0.9 / BLOCK_ACROSS_MM));
  const steps = new Float64Array(cols + 1);
  const found = new Float64Array(rows);
  for (let edge = 1; edge < cols; edge++) {
    for (let r = 0; r < rows; r++) {
      found[r] =
        side(values, r * cols, edge, Math.min(cols, edge + reach)) -
        side(values, r * cols, Math.max(0, edge - reach), edge);
    }
    found.sort();
    const [low, middle, high] = [0.08, 0.5, 0.92].map((share) => found[Math.floor(share * (rows - 1))]);
    if (
      low * high > 0 &&
      Math.abs(middle) > EDGE_STEP &&
      Math.min(Math.abs(low), Math.abs(high)) > 0.4 * Math.abs(middle)
    )
      steps[edge] = middle;
  }
  let from = 0;
  let to = cols;
  // Innermost wins, so that a shadow line beside the edge is left outside too.
  for (let edge = 1; edge < cols / 3; edge++) if (isCrest(steps, edge)) from = edge;
  for (let edge = cols - 1; edge > (2 * cols) / 3; edge--) if (isCrest(steps, edge)) to = edge;
  const margin = Math.round(EDGE_MARGIN_MM / BLOCK_ACROSS_MM); // shadow, and a strip that lies a little askew
  return [from > 0 ? from + margin : 0, to < cols ? to - margin : cols];
}

function isCrest(steps: Float64Array, at: number): boolean {
  const size = Math.abs(steps[at]);
  return size > 0 && size >= Math.abs(steps[at - 1]) && size >= Math.abs(steps[at + 1]);
}

/** Mean of the three channels' sum over columns [from, to) of the row that starts at cell `row`. */
function side(values: Float64Array, row: number, from: number, to: number): number {
  let sum = 0;
  for (let q = from; q < to; q++) {
    const at = 3 * (row + q);
    sum += values[at] + values[at + 1] + values[at + 2];
  }
  return sum / (to - from);
}

/** Density of every block above its row's palest paper (mean of the palest fifth), three channels summed. */
function laneDensity(grid: Grid, from: number, to: number): Float64Array {
  const { rows, cols, values } = grid;
  const density = new Float64Array(rows * cols);
  const row = new Float64Array(to - from);
  const few = Math.max(1, Math.round((to - from) / 5));
  for (let r = 0; r < rows; r++) {
    for (let q = from; q < to; q++) row[q - from] = density[r * cols + q] = side(values, r * cols, q, q + 1);
    row.sort();
    let bare = 0;
    for (let i = 0; i < few; i++) bare += row[i] / few;
    for (let q = from; q < to; q++) density[r * cols + q] -= bare;
  }
  return density;
}

interface ColouredWindow {
  readonly fromRow: number;
  readonly toRow: number;
  /** Lane centre there, columns. */
  readonly centre: number;
  readonly contrast: number;
}

/** Windows of 4 mm in which the cross profile rises out of the noise, with the centroid of their colour. */
function colouredWindows(grid: Grid, density: Float64Array, from: number, to: number): ColouredWindow[] {
  const { rows, cols } = grid;
  const window = Math.max(1, Math.round(WINDOW_MM / BLOCK_ALONG_MM));
  const noise = (blockNoise(grid, density, from, to) * CLOUDS) / Math.sqrt(3 * window);
  const least = Math.max(LANE_DENSITY, 5 * noise);
  const windows: ColouredWindow[] = [];
  for (let fromRow = 0; fromRow < rows; fromRow += window) {
    const toRow = Math.min(rows, fromRow + window);
    const part = smooth3(columnsWithoutLines(density, cols, fromRow, toRow, from, to));
    const sorted = part.toSorted();
    const floor = sorted[Math.floor(sorted.length / 10)];
    const contrast = sorted[sorted.length - 1] - floor;
    if (contrast < least) continue;
    let sum = 0;
    let moment = 0;
    for (let i = 0; i < part.length; i++) {
      const w = Math.max(0, part[i] - floor - 0.4 * contrast); // the flanks fix the centre; the cut keeps the paper's own pattern out
      sum += w;
      moment += w * (from + i + 0.5);
    }
    windows.push({ fromRow, toRow, centre: moment / sum, contrast });
  }
  return windows;
}

/** Deviation of one block, from neighbours along the run. */
function blockNoise(grid: Grid, density: Float64Array, from: number, to: number): number {
  const { rows, cols } = grid;
  const jumps: number[] = [];
  for (let r = 1; r < rows; r++)
    for (let q = from; q < to; q++) jumps.push(Math.abs(density[r * cols + q] - density[(r - 1) * cols + q]));
  if (jumps.length === 0) return 0;
  return (jumps.toSorted((a, b) => a - b)[jumps.length >> 1] * 1.4826) / Math.SQRT2;
}

function smooth3(values: Float64Array): Float64Array {
  const last = values.length - 1;
  return values.map((v, i) => (v + values[Math.max(0, i - 1)] + values[Math.min(last, i + 1)]) / 3);
}

/** Lane centre for every row of the grid: the windows' centroids joined by a local line weighted with their colour. */
function followLane(grid: Grid, windows: readonly ColouredWindow[]): Float64Array {
  const places = windows.map((w) => ({
    row: (w.fromRow + w.toRow) / 2,
    centre: w.centre,
    weight: Math.min(1, w.contrast / 0.3),
  }));
  return Float64Array.from({ length: grid.rows }, (_, r) => localLine(places, r, 12 / BLOCK_ALONG_MM));
}

/** Weighted straight line about `at`, Gaussian weights of scale `reach`; a weak pull holds the slope at 0 where places are few. */
function localLine(
  places: readonly { row: number; centre: number; weight: number }[],
  at: number,
  reach: number,
): number {
  let [s0, s1, s2, t0, t1] = [1e-9, 0, 1e-9, 0, 0];
  const nearest = Math.min(...places.map((p) => Math.abs(p.row - at)));
  for (const { row, centre, weight } of places) {
    const d = row - at;
    const w = weight * Math.exp(-0.5 * ((Math.abs(d) - nearest) / reach) ** 2);
    s0 += w;
    s1 += w * d;
    s2 += w * d * d;
    t0 += w * centre;
    t1 += w * d * centre;
  }
  const mean = t0 / s0;
  const meanD = s1 / s0;
  const slope = (t1 / s0 - mean * meanD) / (s2 / s0 - meanD * meanD + 0.3 * reach * reach);
  // Beyond the places the line is held, not carried on.
  return nearest > reach ? mean : mean - slope * meanD;
}

/** Mean of each column over the rows but its darkest: a tick at the strip's edge is a line, and no lane goes there for it. */
function columnsWithoutLines(
  density: Float64Array,
  cols: number,
  fromRow: number,
  toRow: number,
  from: number,
  to: number,
): Float64Array {
  const left = toRow - fromRow - Math.min(Math.round(LINE_MM / BLOCK_ALONG_MM), Math.floor((toRow - fromRow) / 2));
  const column = new Float64Array(toRow - fromRow);
  return Float64Array.from({ length: to - from }, (_, i) => {
    for (let r = fromRow; r < toRow; r++) column[r - fromRow] = density[r * cols + from + i];
    column.sort();
    let sum = 0;
    for (let k = 0; k < left; k++) sum += column[k];
    return sum / left;
  });
}

/** The lane's mean shape once its wander is taken out: half width at half height and where bare paper begins, columns. */
function straightened(
  grid: Grid,
  density: Float64Array,
  windows: readonly ColouredWindow[],
  path: Float64Array,
  from: number,
  to: number,
): { half: number; clear: number; shift: number } | null {
  const { cols } = grid;
  const reach = Math.ceil(to - from) + 1;
  const sum = new Float64Array(2 * reach + 1);
  const count = new Float64Array(2 * reach + 1);
  let rows = 0;
  for (const { fromRow, toRow } of windows) {
    for (let r = fromRow; r < toRow; r++, rows++) {
      for (let q = from; q < to; q++) {
        const at = q + 0.5 - path[r] + reach;
        const i = Math.floor(at);
        for (const [bin, share] of [
          [i, 1 - (at - i)],
          [i + 1, at - i],
        ]) {
          sum[bin] += share * density[r * cols + q];
          count[bin] += share;
        }
      }
    }
  }
  const shape = sum.map((s, i) => (count[i] > rows / 6 ? s / count[i] : Number.NaN));
  const seen = Array.from(shape).filter((v) => !Number.isNaN(v));
  const floor = seen.toSorted((a, b) => a - b)[Math.floor(seen.length / 10)];
  const top = Math.max(...seen);
  const level = floor + 0.5 * (top - floor);
  if (top - floor < LANE_DENSITY) return null;
  let peak = shape.indexOf(top);
  if (peak < 0) peak = reach;
  let left = peak;
  while (left > 0 && shape[left] > level) left--;
  let right = peak;
  while (right < shape.length - 1 && shape[right] > level) right++;
  const edgeSeen = shape[left] <= level && shape[right] <= level;
  const leftAt = left + crossing(shape[left], shape[left + 1], level);
  const rightAt = right - crossing(shape[right], shape[right - 1], level);
  const half = (rightAt - leftAt) / 2;
  const shift = (leftAt + rightAt) / 2 - reach;
  if (!edgeSeen || 2 * half > 0.92 * (to - from)) return null;
  // What a pale lane's flank is lost in is no flank.
  const noise = (blockNoise(grid, density, from, to) * CLOUDS) / Math.sqrt(Math.max(1, rows));
  const faint = floor + Math.max(0.04 * (top - floor), 2 * noise);
  const clear = Math.max(clearFrom(shape, right, 1, faint), clearFrom(shape, left, -1, faint));
  return { half, clear: half + clear + 0.4 / BLOCK_ACROSS_MM, shift };
}

/** Where between two neighbours the level lies, 0..1 from the lower one. */
function crossing(low: number, high: number, level: number): number {
  return high > low ? (level - low) / (high - low) : 0;
}

/** How far beyond the half-height the shape stays above the faintest colour, columns. */
function clearFrom(shape: Float64Array, edge: number, way: 1 | -1, faint: number): number {
  let i = edge;
  while (i >= 0 && i < shape.length && !Number.isNaN(shape[i]) && shape[i] > faint) i += way;
  return Math.abs(i - edge);
}

function rowsOfPath(view: StripView, grid: Grid, path: Float64Array, shift: number): Float64Array {
  const centre = new Float64Array(view.along);
  for (let a = 0; a < view.along; a++) {
    const at = Math.min(grid.rows - 1, Math.max(0, (a + 0.5 - grid.firstRow) / grid.blockAlong - 0.5));
    const r = Math.min(grid.rows - 2, Math.floor(at));
    const value = grid.rows < 2 ? path[0] : path[r] + (at - r) * (path[r + 1] - path[r]);
    centre[a] = (value + shift) * grid.blockAcross;
  }
  return centre;
}
