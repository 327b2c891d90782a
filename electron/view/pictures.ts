/** What the window shows of a scan: tiles, overviews, parts at any scale, as pictures or as CIELAB numbers. Runs in the worker. */
import { setImmediate } from 'node:timers/promises';
import sharp from 'sharp';
import { labToRaster } from '../../analysis/colour/labRaster.ts';
import { xyzToLabArray } from '../../analysis/colour/labArrays.ts';
import { xyzToSrgb8Array } from '../../analysis/colour/srgbArrays.ts';
import { onOtherGround } from '../../analysis/measure/opacity/otherGround.ts';
import { areaMeans } from '../../analysis/raster/areaMeans.ts';
import type { BoxPx } from '../scans/readScan.ts';
import { ScanError } from '../scans/scanError.ts';
import type { DeviceSource } from '../scans/deviceSource.ts';
import { halved, levelsOf, TILE_SIZE } from './levels.ts';
import type { BoxTask, LabAnswer, OverviewTask, TileTask, ViewAnswer, ViewScan } from './messages.ts';
import { overviewHalvings, overviewSource, withLevel } from './openScans.ts';
import { colourWay, type ColourWay } from './scanColours.ts';

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
      png(srgbOf(await xyzOf(source, scan, halvings, [x, y, width, height], way)), width, height),
    ),
  );
}

export async function overview(task: OverviewTask): Promise<ViewAnswer<Uint8Array>> {
  const { scan } = task;
  const way = await colourWay(scan);
  const source = await overviewSource(task.folder, scan);
  const { widthPx, heightPx } = source;
  const xyz = await xyzOf(source, scan, overviewHalvings(scan), [0, 0, widthPx, heightPx], way);
  return { is: 'done', value: await png(srgbOf(xyz), widthPx, heightPx), pyramid: true };
}

export async function crop(task: BoxTask): Promise<ViewAnswer<Uint8Array>> {
  const grid = gridOf(task);
  const rgb = new Uint8Array(3 * grid.columns * grid.rows);
  return answer(
    await inStrips(
      task,
      grid,
      (xyz, at) => xyzToSrgb8Array(xyz, rgb.subarray(at, at + xyz.length)),
      () => png(rgb, grid.columns, grid.rows),
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
  return answer(
    await inStrips(task, grid, strip, () => Promise.resolve({ data, columns: grid.columns, rows: grid.rows })),
  );
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
  finish: () => Promise<T>,
): Promise<{ value: T; pyramid: boolean } | null> {
  const { scan, folder, from, laidOn } = task;
  const seen = await colourWay(scan);
  const way = laidOn ? elsewhere(seen, laidOn) : seen;
  return withLevel(folder, scan, grid.halvings, from, async (source) => {
    for (let row = 0; row < grid.rows; row += STRIP_ROWS) {
      const rows = Math.min(STRIP_ROWS, grid.rows - row);
      strip(await rowsOf(source, scan, grid, row, rows, way), 3 * row * grid.columns);
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
    toXyz: (raster) => {
      const xyz = way.toXyz(raster);
      lay(xyz);
      return xyz;
    },
  };
}

async function rowsOf(source: DeviceSource, scan: ViewScan, grid: Grid, row: number, rows: number, way: ColourWay) {
  const scale = 2 ** grid.halvings;
  const [stepX, stepY] = [grid.step[0] / scale, grid.step[1] / scale];
  const left = grid.left / scale;
  const top = grid.top / scale + row * stepY;
  const x = Math.floor(left + TINY);
  const y = Math.floor(top + TINY);
  const width = Math.min(source.widthPx, Math.ceil(left + grid.columns * stepX - TINY)) - x;
  const height = Math.min(source.heightPx, Math.ceil(top + rows * stepY - TINY)) - y;
  const xyz = await xyzOf(source, scan, grid.halvings, [x, y, width, height], way);
  if (stepX === 1 && stepY === 1 && left === x && top === y) return xyz;
  const out = new Float32Array(3 * grid.columns * rows);
  areaMeans(xyz, width, height, { left: left - x, top: top - y, stepX, stepY, columns: grid.columns, rows }, out);
  return out;
}

/** A share of a pixel that rounding makes. */
const TINY = 1e-6;

/** At 1 : 2^halvings a pixel is so many pixels of the scan wide: the light of the bed is looked up where they really lay. */
async function xyzOf(
  source: DeviceSource,
  scan: ViewScan,
  halvings: number,
  box: BoxPx,
  way: ColourWay,
): Promise<Float32Array> {
  const [x, y, widthPx, heightPx] = box;
  const data = await source.read(box);
  return way.toXyz({
    data,
    widthPx,
    heightPx,
    bits: source.bits,
    dpi: (scan.dpi ?? 0) / 2 ** halvings,
    originPx: [x, y],
  });
}

function srgbOf(xyz: Float32Array): Uint8Array {
  const rgb = new Uint8Array(xyz.length);
  xyzToSrgb8Array(xyz, rgb);
  return rgb;
}

/** Not compressed: it travels within the machine, and packing it took as long as all else and time from the window's own thread. */
async function png(rgb: Uint8Array, width: number, height: number): Promise<Uint8Array> {
  return sharp(rgb, { raw: { width, height, channels: 3 } })
    .png({ compressionLevel: 0 })
    .toBuffer();
}

function outside({ info }: ViewScan, what: string): ScanError {
  const size = `${info.widthPx} × ${info.heightPx} px in ${levelsOf(info.widthPx, info.heightPx)} levels`;
  return new ScanError('scan-outside', `${info.file}: ${what}; expected a part of the scan, ${size}. Ask within it.`);
}
