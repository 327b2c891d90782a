/** What the bench times of looking: a scan that was never seen, its tiles, and CIELAB for the ΔE00 map. */
import { mkdtempSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import sharp from 'sharp';
import { deltaE2000Array } from '../analysis/colour/labArrays.ts';
import { labD50 } from '../analysis/colour/lab.ts';
import { LAB_RASTER_SCALE } from '../analysis/colour/labRaster.ts';
import { scanInfo } from '../electron/scans/scanInfo.ts';
import { levelsOf, TILE_SIZE } from '../electron/view/levels.ts';
import { View, type ViewScan } from '../electron/view/view.ts';
import type { Timings } from './stages.ts';

const RUNS = 5;
const TILES = 120;
const [SCREEN_WIDTH, SCREEN_HEIGHT] = [1280, 800];

/**
 * Seconds, and `pyramidMb`: by how much the process grew while it looked at the page and made its pyramid. In one process, in turn, so that
 * a busy moment of the machine meets all alike.
 */
export async function viewTimings(page: string): Promise<Timings> {
  const folder = mkdtempSync(join(tmpdir(), 'wetline-bench-view-'));
  const view = new View({ cacheFolder: join(folder, 'cache') });
  try {
    const scan = await scanOf(page);
    // The worker is up when a person opens a scan: only the scan is cold.
    await view.profileProblem(page);
    const timings: Timings = { ...(await memory(view, scan)) };
    Object.assign(timings, await coldSight(view, scan));
    Object.assign(timings, quantiles('tile', await tiles(view, scan)));
    const busy = await busyCores();
    Object.assign(timings, quantiles('busyTile', await tiles(view, scan)));
    await Promise.all(busy.map((worker) => worker.terminate()));
    Object.assign(timings, await heatMap(view, scan));
    return timings;
  } finally {
    await view.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function scanOf(page: string): Promise<ViewScan> {
  const info = await scanInfo(page);
  return { file: page, hash: 'page', info, dpi: info.dpi, colours: { by: 'assumed-srgb', key: 's' } };
}

/** Before anything else: later, memory that others left would be used again. */
async function memory(view: View, scan: ViewScan): Promise<Timings> {
  globalThis.gc?.();
  const before = process.memoryUsage.rss();
  let most = before;
  const watch = setInterval(() => (most = Math.max(most, process.memoryUsage.rss())), 5);
  const from = performance.now();
  await view.tile(scan, Math.max(0, levelsOf(scan.info.widthPx, scan.info.heightPx) - 2), 0, 0);
  const pyramid = seconds(from);
  clearInterval(watch);
  return { pyramid, pyramidMb: (most - before) / 1e6 };
}

/**
 * An overview of a scan that was never seen, another each time by its name, and the image library's bare decoding of the same file; each by the
 * clock and in seconds of the processor, which a busy machine bends less.
 */
async function coldSight(view: View, scan: ViewScan): Promise<Timings> {
  const best: Timings = {};
  const time = async (name: string, work: () => Promise<unknown>): Promise<void> => {
    globalThis.gc?.();
    const [from, used] = [performance.now(), process.cpuUsage()];
    await work();
    const { user, system } = process.cpuUsage(used);
    best[name] = Math.min(best[name] ?? Infinity, seconds(from));
    best[`${name}Processor`] = Math.min(best[`${name}Processor`] ?? Infinity, (user + system) / 1e6);
  };
  for (let run = 0; run < RUNS; run++) {
    await time('overview', () => view.overview({ ...scan, hash: `cold-${run}` }));
    await time('bareDecode', () =>
      sharp(scan.file, { ignoreIcc: true }).toColourspace('rgb16').raw({ depth: 'ushort' }).toBuffer(),
    );
  }
  return best;
}

/** Each tile at full zoom on its own, all over the page. */
async function tiles(view: View, scan: ViewScan): Promise<number[]> {
  const { widthPx, heightPx } = scan.info;
  const [columns, rows] = [Math.ceil(widthPx / TILE_SIZE), Math.ceil(heightPx / TILE_SIZE)];
  const taken: number[] = [];
  for (let n = 0; n < TILES; n++) {
    const from = performance.now();
    await view.tile(scan, levelsOf(widthPx, heightPx) - 1, (7 * n) % columns, (11 * n) % rows);
    taken.push(seconds(from));
  }
  return taken;
}

function quantiles(name: string, taken: readonly number[]): Timings {
  const sorted = [...taken].sort((a, b) => a - b);
  const at = (share: number): number => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
  return { [`${name}Median`]: at(0.5), [`${name}95`]: at(0.95) };
}

/** A thread that calculates without a pause on every core. */
async function busyCores(): Promise<Worker[]> {
  const code = "require('node:worker_threads').parentPort.postMessage(0); for (let x = 0; ; x++) Math.sqrt(x);";
  const workers = Array.from({ length: availableParallelism() }, () => new Worker(code, { eval: true }));
  await Promise.all(workers.map((worker) => new Promise((resolve) => worker.once('message', resolve))));
  return workers;
}

/** A screenful of CIELAB from the view, and the differences that the window makes of it. */
async function heatMap(view: View, scan: ViewScan): Promise<Timings> {
  const best = { labScreen: Infinity, heatMap: Infinity };
  const [width, height] = [Math.min(SCREEN_WIDTH, scan.info.widthPx), Math.min(SCREEN_HEIGHT, scan.info.heightPx)];
  for (let run = 0; run < RUNS; run++) {
    let from = performance.now();
    const { data } = await view.lab(scan, [100 * run, 0, width, height], width);
    best.labScreen = Math.min(best.labScreen, seconds(from));
    from = performance.now();
    const lab = new Float32Array(data.length);
    for (let i = 0; i < data.length; i++) lab[i] = data[i] / LAB_RASTER_SCALE;
    deltaE2000Array(lab, labD50(30, 12, -38), new Float32Array(lab.length / 3));
    best.heatMap = Math.min(best.heatMap, seconds(from));
  }
  return best;
}

function seconds(from: number): number {
  return (performance.now() - from) / 1000;
}
