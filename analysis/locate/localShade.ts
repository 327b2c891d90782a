/**
 * Shade that the page's surface does not follow (a book's spine, a sheet that lies hollow): paper that darkens slowly, all
 * channels alike, as no ink does. Taken out of a region before its ink is looked for; a region that has none is left alone.
 */
import { components } from '../raster/components.ts';
import { selectKth } from '../raster/select.ts';
import type { DarknessMap } from './darknessMap.ts';

const CELL_MM = 1.6;
/** Paper this near to the page's surface is where shade is followed from; less shade than this is none. */
const LEAST = 0.025;
/** Absorbance may rise by this from a cell to the next; a stroke's or swab's edge rises by more. */
const MOST_RISE = 0.06;
/** Channels darken alike within this share. */
const NEUTRAL = 0.3;
/** Of a cell's pixels, this share is paler than what counts as its paper: most of a written cell is paper. */
const PAPER_SHARE = 0.15;
/** Shade reaches over this many cells that hang together and come to the region's border; a close-written place does not. */
const LEAST_CELLS = 12;

interface Grid {
  readonly width: number;
  readonly height: number;
  /** Absorbance of the paper, 3 a cell. */
  readonly level: Float32Array;
}

/** Divides shade out of the ratio and takes it off the map, in place. @param pixels The ratio, which is not asked for where no shade can be. @returns whether there was any. */
export function levelShade(
  pixels: () => Float32Array,
  size: { readonly widthPx: number; readonly heightPx: number; readonly dpi: number },
  map: DarknessMap,
): boolean {
  const cell = Math.max(4, Math.round(CELL_MM * map.perMm));
  const width = Math.floor(map.width / cell);
  const height = Math.floor(map.height / cell);
  if (width < 4 || height < 4) return false;
  const dark = cellLevels(map, cell, width, height);
  // Most regions: no cell's paper is off the surface, unless it is inked.
  if (!dark.some((d) => d > LEAST && d < 0.5)) return false;
  const ratio = pixels();
  const grid: Grid = { width, height, level: new Float32Array(3 * width * height) };
  const paper = reachedCells(ratio, size, map, cell, dark, grid);
  if (!keepBroad(paper, dark, width, height)) return false;
  fillIn(grid, paper);
  divideOut(ratio, size, grid, cell * map.step);
  for (let y = 0; y < map.height; y++) {
    for (let x = 0; x < map.width; x++) {
      const at = bilinear(grid, (x + 0.5) / cell - 0.5, (y + 0.5) / cell - 0.5);
      map.data[y * map.width + x] -= (at[0] + at[1] + at[2]) / 3;
    }
  }
  return true;
}

/** Forgets, in place, darker cells that do not belong to a broad shade. @returns whether there is one. */
function keepBroad(paper: Uint8Array, dark: Float32Array, width: number, height: number): boolean {
  const data = new Uint8Array(paper.length);
  for (let i = 0; i < data.length; i++) if (paper[i] && dark[i] > LEAST) data[i] = 1;
  let any = false;
  for (const { area, runs, x0, x1, y0, y1 } of components({ data, widthPx: width, heightPx: height })) {
    const broad = area >= LEAST_CELLS && (x0 === 0 || y0 === 0 || x1 === width - 1 || y1 === height - 1);
    if (broad) any = true;
    else
      for (let r = 0; r < runs.length; r += 3)
        paper.fill(0, runs[r] * width + runs[r + 1], runs[r] * width + runs[r + 2] + 1);
  }
  return any;
}

/** Absorbance below which that share of each cell lies. */
function cellLevels(map: DarknessMap, cell: number, width: number, height: number): Float32Array {
  const values = new Float32Array(cell * cell);
  const out = new Float32Array(width * height);
  for (let y = 0; y < height; y++)
    levelsOfRow(map.data, map.width, y * cell * map.width, cell, values, out, y * width, width);
  return out;
}

/** Of one row of cells. @param from The first one's first square. */
function levelsOfRow(
  data: Float32Array,
  dataWidth: number,
  from: number,
  cell: number,
  values: Float32Array,
  out: Float32Array,
  at: number,
  count: number,
): void {
  const rank = Math.floor(PAPER_SHARE * values.length);
  for (let x = 0; x < count; x++) {
    for (let v = 0, k = 0; v < cell; v++) {
      for (let i = from + x * cell + v * dataWidth, end = i + cell; i < end; i++) values[k++] = data[i];
    }
    out[at + x] = selectKth(values, values.length, rank);
  }
}

/** Cells whose paper can be followed, from neighbour to neighbour, from the page's own; writes their levels. */
function reachedCells(
  ratio: Float32Array,
  size: { readonly widthPx: number },
  map: DarknessMap,
  cell: number,
  dark: Float32Array,
  grid: Grid,
): Uint8Array {
  const { width, height, level } = grid;
  const reached = new Uint8Array(width * height);
  const front: number[] = [];
  const accept = (i: number): void => {
    reached[i] = 1;
    front.push(i);
  };
  for (let i = 0; i < dark.length; i++) {
    writeLevel(ratio, size.widthPx, map, cell, i, dark[i], grid);
    if (Math.abs(dark[i]) < LEAST) accept(i);
  }
  for (let k = 0; k < front.length; k++) {
    const i = front[k];
    const x = i % width;
    for (const [q, inside] of [
      [i - 1, x > 0],
      [i + 1, x < width - 1],
      [i - width, i >= width],
      [i + width, i + width < width * height],
    ] as const) {
      if (!inside || reached[q]) continue;
      if (Math.abs(dark[q] - dark[i]) > MOST_RISE || !isNeutral(level, q)) continue;
      accept(q);
    }
  }
  return reached;
}

/** Mean absorbance per channel of the cell's paper. */
function writeLevel(
  ratio: Float32Array,
  widthPx: number,
  map: DarknessMap,
  cell: number,
  index: number,
  dark: number,
  { width, level }: Grid,
): void {
  const sum = [0, 0, 0];
  let n = 0;
  const [left, top] = [(index % width) * cell, Math.floor(index / width) * cell];
  for (let y = top; y < top + cell; y++) {
    for (let x = left; x < left + cell; x++) {
      if (Math.abs(map.data[y * map.width + x] - dark) > 0.02) continue;
      const i = 3 * (y * map.step * widthPx + x * map.step);
      for (let c = 0; c < 3; c++) sum[c] += ratio[i + c];
      n++;
    }
  }
  for (let c = 0; c < 3; c++) level[3 * index + c] = n > 0 ? -Math.log(Math.max(0.02, sum[c] / n)) : 0;
}

function isNeutral(level: Float32Array, i: number): boolean {
  const [r, g, b] = level.subarray(3 * i, 3 * i + 3);
  const mean = (r + g + b) / 3;
  return Math.max(r, g, b) - Math.min(r, g, b) < Math.max(0.015, NEUTRAL * Math.abs(mean));
}

/** Cells that are no paper take their neighbours' mean, until all have a level. */
function fillIn({ width, height, level }: Grid, known: Uint8Array): void {
  const has = Uint8Array.from(known);
  let left = has.reduce((n, h) => n + 1 - h, 0);
  while (left > 0) {
    const before = left;
    const fresh: { readonly i: number; readonly value: readonly number[] }[] = [];
    for (let i = 0; i < has.length; i++) {
      if (has[i]) continue;
      const sum = [0, 0, 0];
      let n = 0;
      for (let v = -1; v <= 1; v++) {
        for (let u = -1; u <= 1; u++) {
          const [x, y] = [(i % width) + u, Math.floor(i / width) + v];
          if (x < 0 || y < 0 || x >= width || y >= height || !has[y * width + x]) continue;
          n++;
          for (let c = 0; c < 3; c++) sum[c] += level[3 * (y * width + x) + c];
        }
      }
      if (n > 0) fresh.push({ i, value: sum.map((s) => s / n) });
    }
    for (const { i, value } of fresh) {
      has[i] = 1;
      level.set(value, 3 * i);
    }
    left -= fresh.length;
    if (left === before) return;
  }
}

function divideOut(
  ratio: Float32Array,
  { widthPx, heightPx }: { readonly widthPx: number; readonly heightPx: number },
  grid: Grid,
  cellPx: number,
): void {
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x += 4) {
      // Shade is smooth: every fourth pixel is near enough.
      const at = bilinear(grid, (x + 2) / cellPx - 0.5, (y + 0.5) / cellPx - 0.5);
      const gain = [Math.exp(at[0]), Math.exp(at[1]), Math.exp(at[2])];
      const end = 3 * (y * widthPx + Math.min(widthPx, x + 4));
      for (let i = 3 * (y * widthPx + x); i < end; i += 3) for (let c = 0; c < 3; c++) ratio[i + c] *= gain[c];
    }
  }
}

const found: [number, number, number] = [0, 0, 0];

/** Between the four cells about a place; beyond the outermost ones their slope goes on, since shade is deepest at a border. */
function bilinear({ width, height, level }: Grid, x: number, y: number): readonly [number, number, number] {
  const i = Math.min(width - 2, Math.max(0, Math.floor(x)));
  const j = Math.min(height - 2, Math.max(0, Math.floor(y)));
  const u = Math.min(1.6, Math.max(-0.6, x - i));
  const v = Math.min(1.6, Math.max(-0.6, y - j));
  const k = 3 * (j * width + i);
  const below = k + 3 * width;
  for (let c = 0; c < 3; c++) {
    found[c] =
      (1 - v) * ((1 - u) * level[k + c] + u * level[k + 3 + c]) +
      v * ((1 - u) * level[below + c] + u * level[below + 3 + c]);
  }
  return found;
}
