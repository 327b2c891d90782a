/** What the window shows of a scan: tiles, overviews, parts at any scale, as pictures or as CIELAB numbers. Runs in the worker. */
import { setImmediate } from 'node:timers/promises';
import { labToRaster } from '../../analysis/colour/labRaster.ts';
import { xyzToLabArray } from '../../analysis/colour/labArrays.ts';
import { xyzToSrgb8Array } from '../../analysis/colour/srgbArrays.ts';
import { onOtherGround } from '../../analysis/measure/opacity/otherGround.ts';
import { type AreaGrid, areaMeans } from '../../analysis/raster/areaMeans.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import type { BoxPx } from '../scans/readScan.ts';
import { ScanError } from '../scans/scanError.ts';
import type { DeviceSource, DeviceValues } from '../scans/deviceSource.ts';
import { halved, levelsOf, TILE_SIZE } from './levels.ts';
import type { BoxTask, LabAnswer, OverviewTask, TileTask, ViewAnswer, ViewScan } from './messages.ts';
import { overviewHalvings, overviewSource, withLevel } from './openScans.ts';
import { plainPng } from './plainPng.ts';
import { colourWay, type ColourWay } from './scanColours.ts';
import { AVERAGED, SCANNED } from './stripRooms.ts';

/** The most pixels of one answer; larger boxes are answered coarser. A 4K screen has 3.7 million. */
const MOST_PIXELS = 4_200_000;
/** Rows of an answer worked on at a time. */
const STRIP_ROWS = 64;

export async function tile(task: TileTask): Promise<ViewAnswer<Uint8Array>> {
  const { scan, level, column, row } = task;
  const { widthPx, heightPx } = scan.info;
  const halvings = levelsOf(widthPx, heightPx) - 1 - level;
  const [x, y] = [column * TILE_SIZE, row * TILE_SIZE];
  const width = Math.min(TILE_SIZE, halved(widthPx, halvings) - x);
  const height = Math.min(TILE_SIZE, halved(heightPx, halvings) - y);
  const isThere = halvings >= 0 && level >= 0 && x >= 0 && y >= 0 && width > 0 && height > 0;
  if (!isThere || ![level, column, row].every(Number.isInteger)) {
    throw outside(scan, `level ${level} has no tile in column ${column}, row ${row}`);
  }
  const way = await colourWay(scan);
  return answer(
    await withLevel(task.folder, scan, halvings, task.from, async (source) =>
      plainPng(await srgbOf(source, scan, halvings, [x, y, width, height], way), width, height),
    ),
  );
}

export async function overview(task: OverviewTask): Promise<ViewAnswer<Uint8Array>> {
  const { scan } = task;
  const way = await colourWay(scan);
  const source = await overviewSource(task.folder, scan);
  const { widthPx, heightPx } = source;
  const rgb = await srgbOf(source, scan, overviewHalvings(scan), [0, 0, widthPx, heightPx], way);
  return { is: 'done', value: plainPng(rgb, widthPx, heightPx), pyramid: true };
}

export async function crop(task: BoxTask): Promise<ViewAnswer<Uint8Array>> {
  const grid = gridOf(task);
  const rgb = new Uint8Array(3 * grid.columns * grid.rows);
  return answer(
    await inStrips(
      task,
      grid,
      (xyz, at) => xyzToSrgb8Array(xyz, rgb.subarray(at, at + xyz.length)),
      () => plainPng(rgb, grid.columns, grid.rows),
    ),
  );
}

export async function lab(task: BoxTask): Promise<ViewAnswer<LabAnswer>> {
  const grid = gridOf(task);
  const data = new Int16Array(3 * grid.columns * grid.rows);
  const strip = (xyz: Float32Array, at: number): void => {
    xyzToLabArray(xyz, xyz);
    labToRaster(xyz, data.subarray(at, at + xyz.length));
  };
  return answer(await inStrips(task, grid, strip, () => ({ data, columns: grid.columns, rows: grid.rows })));
}

function answer<T>(found: { value: T; pyramid: boolean } | null): ViewAnswer<T> {
  return found === null ? { is: 'wants-pyramid' } : { is: 'done', ...found };
}

interface Grid {
  readonly halvings: number;
  /** In pixels of the scan. */
  readonly left: number;
  readonly top: number;
  readonly step: readonly [x: number, y: number];
  readonly columns: number;
  readonly rows: number;
}

/** The columns and rows that answer a box: no finer than the scan, and no more than MOST_PIXELS. */
function gridOf({ scan, boxPx, columns: wanted }: BoxTask): Grid {
  const { widthPx, heightPx } = scan.info;
  const left = Math.max(0, boxPx[0]);
  const top = Math.max(0, boxPx[1]);
  const width = Math.min(widthPx, boxPx[0] + boxPx[2]) - left;
  const height = Math.min(heightPx, boxPx[1] + boxPx[3]) - top;
  if (!(width > 0 && height > 0 && wanted >= 1)) throw outside(scan, `the box ${boxPx.join(', ')} px lies outside`);
  const most = Math.floor(Math.sqrt((MOST_PIXELS * width) / height));
  const columns = Math.max(1, Math.min(Math.floor(wanted), Math.ceil(width), most));
  const rows = Math.max(1, Math.min(Math.round((columns * height) / width), Math.ceil(height), MOST_PIXELS));
  let halvings = 0;
  const finest = Math.min(width / columns, height / rows) * (1 + 1e-9);
  while (2 ** (halvings + 1) <= finest && halvings + 1 < levelsOf(widthPx, heightPx)) halvings++;
  return { halvings, left, top, step: [width / columns, height / rows], columns, rows };
}

/** @param strip gets the XYZ of some rows, which it may change, and where they begin among the answer's values */
async function inStrips<T>(
  task: BoxTask,
  grid: Grid,
  strip: (xyz: Float32Array, at: number) => void,
  finish: () => T,
): Promise<{ value: T; pyramid: boolean } | null> {
  const { scan, folder, from, laidOn } = task;
  const seen = await colourWay(scan);
  const way = laidOn ? elsewhere(seen, laidOn) : seen;
  return withLevel(folder, scan, grid.halvings, from, async (source) => {
    let band: DeviceValues | undefined;
    for (let row = 0; row < grid.rows; row += STRIP_ROWS) {
      const rows = Math.min(STRIP_ROWS, grid.rows - row);
      const under = pixelsUnder(source, grid, row, rows);
      band = await source.read(under.box, band);
      strip(rowsOf(rasterOf(band, source, scan, grid.halvings, under.box), under.grid, way), 3 * row * grid.columns);
      await setImmediate(); // others may look meanwhile
    }
    return finish();
  });
}

/** Pixel by pixel before light is averaged: a pixel is a mix of ink and paper, many of them are a mix of mixes. */
function elsewhere(way: ColourWay, steps: NonNullable<BoxTask['laidOn']>): ColourWay {
  const lay = onOtherGround(steps);
  return {
    ...way,
    toXyz: (raster, room) => {
      const xyz = way.toXyz(raster, room);
      lay(xyz);
      return xyz;
    },
  };
}

/** What lies under some rows of an answer: a box of the source, and the rows' grid in it. */
function pixelsUnder(source: DeviceSource, grid: Grid, row: number, rows: number): { box: BoxPx; grid: AreaGrid } {
  const scale = 2 ** grid.halvings;
  const [stepX, stepY] = [grid.step[0] / scale, grid.step[1] / scale];
  const left = grid.left / scale;
  const top = grid.top / scale + row * stepY;
  const x = Math.floor(left + TINY);
  const y = Math.floor(top + TINY);
  const width = Math.min(source.widthPx, Math.ceil(left + grid.columns * stepX - TINY)) - x;
  const height = Math.min(source.heightPx, Math.ceil(top + rows * stepY - TINY)) - y;
  return {
    box: [x, y, width, height],
    grid: { left: left - x, top: top - y, stepX, stepY, columns: grid.columns, rows },
  };
}

/** A share of a pixel that rounding makes. */
const TINY = 1e-6;

/** XYZ of an answer's rows, in a room that the next ones are written to as well. */
function rowsOf(raster: DeviceRaster, grid: AreaGrid, way: ColourWay): Float32Array {
  const { widthPx, heightPx } = raster;
  const xyz = way.toXyz(raster, SCANNED.of(widthPx * heightPx));
  if (grid.stepX === 1 && grid.stepY === 1 && grid.left === 0 && grid.top === 0) return xyz;
  const out = AVERAGED.of(grid.columns * grid.rows).data;
  areaMeans(xyz, widthPx, heightPx, grid, out);
  return out;
}

/** At 1 : 2^halvings a pixel is so many pixels of the scan wide: the light of the bed is looked up where they really lay. */
function rasterOf(
  data: DeviceValues,
  source: DeviceSource,
  scan: ViewScan,
  halvings: number,
  [x, y, widthPx, heightPx]: BoxPx,
): DeviceRaster {
  const dpi = (scan.dpi ?? 0) / 2 ** halvings;
  return { data, widthPx, heightPx, bits: source.bits, dpi, originPx: [x, y] };
}

/** What the last box was read into; nobody's while the next one is read. */
let spare: DeviceValues | undefined;

/** A box as it is, some rows at a time. */
async function srgbOf(source: DeviceSource, scan: ViewScan, halvings: number, box: BoxPx, way: ColourWay) {
  const [x, y, width, height] = box;
  const taken = spare;
  spare = undefined;
  const data = await source.read(box, taken);
  const rgb = new Uint8Array(3 * width * height);
  for (let row = 0; row < height; row += STRIP_ROWS) {
    const rows = Math.min(STRIP_ROWS, height - row);
    const [from, to] = [3 * row * width, 3 * (row + rows) * width];
    const raster = rasterOf(data.subarray(from, to), source, scan, halvings, [x, y + row, width, rows]);
    xyzToSrgb8Array(way.toXyz(raster, SCANNED.of(width * rows)), rgb.subarray(from, to));
  }
  spare = data;
  return rgb;
}

function outside({ info }: ViewScan, what: string): ScanError {
  const size = `${info.widthPx} × ${info.heightPx} px in ${levelsOf(info.widthPx, info.heightPx)} levels`;
  return new ScanError('scan-outside', `${info.file}: ${what}; expected a part of the scan, ${size}. Ask within it.`);
}
