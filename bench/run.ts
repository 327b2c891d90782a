/**
 * `npm run bench`: speed and memory on a whole A4 page at 600 dpi, and on the sample sheet.
 * It judges nothing: figures move by a quarter from run to run, so compare ratios, which come from one process each.
 * `--rows N` takes only the first N rows of the page; `--only decode` makes that line of the page's alone; `--no-sheet` leaves the sample sheet
 * out and the scanners' table; `--window` makes only the window's lines, `--tasks` only how long its thread is busy at a stretch, `--strokes` only the pages of strokes.
 * `--tasks --acts 'open on Scans' --times 5` tells that of the acts with such names (windowActs.ts), the median of 5 times, and what the time went to.
 * `--scanners N` makes only that table, over N seeds (from `--first` on), and writes it to docs/study/scanners.md; `--film N` only the film fit's lines.
 */
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { scannersPage, scannersTable } from '../study/scanners.ts';
import { sheetsOf, type SheetSeen } from '../study/scannerSheets.ts';
import { filmLines } from './filmLines.ts';
import { measureAndLook } from './memory.ts';
import { PAGE_HEIGHT_PX, PAGE_WIDTH_PX, writePage } from './page.ts';
import { strokesRegions, writeStrokesSheet } from './strokesPage.ts';
import { shelfTimes } from './shelf.ts';
import type { Timings } from './stages.ts';
import { viewLines } from './viewLines.ts';
import { firstLook, windowLook } from './windowLook.ts';
import { windowStart } from './windowStart.ts';
import {
  ALL_ACTS_ONCE,
  type ActsWanted,
  type BusySpell,
  LONG_MS,
  partsLines,
  tasksTable,
  windowTasks,
} from './windowTasks.ts';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const SHEET = join(ROOT, 'sample-scans', 'sheet.json');
const SCREENS = [
  [1280, 800],
  [2560, 1440],
] as const;
const SHELF_INKS = 300;
const FILM_SEEDS = 4;
const FIRST_FILM_SEED = 700;
/** Of the scanners' table when it is not told: nothing is tuned on these. */
const FIRST_SCANNERS_SEED = 20_001;

const { values: options } = parseArgs({
  options: {
    rows: { type: 'string' },
    only: { type: 'string' },
    'no-sheet': { type: 'boolean' },
    scanners: { type: 'string' },
    first: { type: 'string' },
    film: { type: 'string' },
    window: { type: 'boolean' },
    tasks: { type: 'boolean' },
    acts: { type: 'string' },
    times: { type: 'string' },
    strokes: { type: 'boolean' },
  },
});
if (options.scanners !== undefined) await writeScanners(Number(options.scanners));
else if (options.film !== undefined) printFilm(Number(options.film));
else if (options.window === true) await inFolder(startWindow);
else if (options.strokes === true) await inFolder(measureStrokesPage);
else if (options.tasks === true) await inFolder(windowBusy);
else await runAll(Math.min(PAGE_HEIGHT_PX, Number(options.rows ?? PAGE_HEIGHT_PX)));

async function inFolder(run: (folder: string) => Promise<void>): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'wetline-bench-'));
  try {
    await run(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function runAll(rows: number): Promise<void> {
  await inFolder(async (folder) => {
    const page = join(folder, 'page.tif');
    await writePage(page, rows);
    const megapixels = (PAGE_WIDTH_PX * rows) / 1e6;
    print(`Node ${process.version}, ${cpus().length} × ${cpus()[0].model.trim()}`);
    print(`Page ${PAGE_WIDTH_PX} × ${rows} px, ${megapixels.toFixed(1)} megapixels, 16 bit RGB. Best of three runs.`);
    print('');
    print(row('', 'seconds', 'megapixels/s', 'peak memory'));
    for (const [stage, title] of [
      ['decode', 'decode the TIFF'],
      ['lab', 'calibrate and convert to Lab'],
      ['deltaE', 'ΔE00 map against one colour'],
      ['wholePage', 'all three, once, cold'],
    ].filter(([stage]) => (options.only ?? stage) === stage)) {
      const { timings, peakMb } = await child(folder, stage, page);
      const seconds = timings[stage];
      print(row(title, seconds.toFixed(2), (megapixels / seconds).toFixed(1), `${peakMb} MB`));
    }
    if (options.only !== undefined) return;
    if (options['no-sheet'] !== true) {
      await measureSheet(folder);
      await measureStrokesPage(folder);
      await startWindow(folder);
      await windowMeasures(folder);
    }
    print('');
    for (const line of viewLines((await child(folder, 'view', page)).timings)) print(line);
    print('');
    print('Against other libraries, in seconds of the processor, best of six runs in turn:');
    await ratio(folder, page, 'againstCulori', 'ΔE00 map: culori 4 (every 64th pixel, scaled)', 4);
    await ratio(folder, page, 'againstSharp', 'Lab: sharp (one thread each)', 1.5);
    print('');
    if (options['no-sheet'] !== true) {
      await printScanners();
      printFilm(FILM_SEEDS);
    }
    print(
      'Aims: whole-page work below 1500 MB, the window below 500 MB, measure of the sample sheet below 10 s, twelve strokes regions of A4 below 6 s and 1000 MB, sample scan on screen below 2 s.',
    );
  });
}

/** The table of docs/study/scanners.md over so few seeds that it costs seconds: whether anything broke, not what is reached. */
async function printScanners(): Promise<void> {
  print('Same swabs, three unlike scanners, one seed in short (docs/study/scanners.md has many), ΔE00:');
  for (const line of await scannersTable(1, FIRST_FILM_SEED)) print(line);
  print('');
}

function printFilm(seeds: number): void {
  if (!Number.isInteger(seeds) || seeds < 1) {
    throw new Error(`--film "${options.film}" is no number of seeds; give a whole number, such as --film 4.`);
  }
  for (const line of filmLines(seeds, FIRST_FILM_SEED)) print(line);
  print('');
}

async function writeScanners(seeds: number): Promise<void> {
  if (!Number.isInteger(seeds) || seeds < 1) {
    throw new Error(
      `--scanners "${options.scanners}" is no number of seeds; give a whole number, such as --scanners 13.`,
    );
  }
  const firstSeed = Number(options.first ?? FIRST_SCANNERS_SEED);
  const sheets: SheetSeen[][] = [];
  for (let n = 0; n < seeds; n++) sheets.push(await sheetsOf(firstSeed + n, false));
  const page = scannersPage({ sheets, firstSeed, spectra: Math.ceil(seeds / 4) });
  writeFileSync(join(ROOT, 'docs', 'study', 'scanners.md'), page);
  print(page);
}

/** A page with its target is calibrated, measured and looked at in the process that serves the window. */
async function windowMeasures(folder: string): Promise<void> {
  const page = join(folder, 'target-page.tif');
  await child(folder, 'targetPage', page);
  const { seconds, peakMb } = await measureAndLook(page, join(folder, 'page-library'));
  print(row('window: measure A4, look on', seconds.toFixed(2), '', `${peakMb?.toFixed(0) ?? '?'} MB`));
}

async function measureSheet(folder: string): Promise<void> {
  const title = 'measure the sample sheet';
  if (!existsSync(SHEET)) {
    print(`${title}: skipped, sample-scans/sheet.json is not there`);
    return;
  }
  const out = join(folder, 'findings.json');
  await buildHost(folder);
  const from = performance.now();
  const { code, peakMb } = await node(folder, [join(ROOT, 'bin', 'wetline.mjs'), 'measure', SHEET, '--out', out]);
  print(row(title, ((performance.now() - from) / 1000).toFixed(2), '', `${peakMb} MB`));
  if (code !== 0) print(`  (it ended with exit code ${code})`);
}

/** All quantities of a page of strokes: a quarter of it, half, all of it. What is measured without a target costs the same. */
async function measureStrokesPage(folder: string): Promise<void> {
  await buildHost(folder);
  const cpu: number[] = [];
  for (const share of [0.25, 0.5, 1]) {
    const sheet = await writeStrokesSheet(folder, share);
    const out = join(folder, `strokes-${share}-findings.json`);
    const from = performance.now();
    const { code, peakMb, cpuS } = await node(folder, [
      join(ROOT, 'bin', 'wetline.mjs'),
      'measure',
      sheet,
      '--out',
      out,
    ]);
    const seconds = (performance.now() - from) / 1000;
    const title = `${strokesRegions(share)} strokes regions, ${share} of A4`;
    const megapixels = (PAGE_WIDTH_PX * PAGE_HEIGHT_PX * share) / 1e6;
    print(row(title, seconds.toFixed(2), (megapixels / seconds).toFixed(1), `${peakMb} MB`));
    cpu.push(cpuS);
    if (code !== 0) print(`  (it ended with exit code ${code})`);
  }
  const [quarter, half, whole] = cpu;
  print(
    `  of the processor ${cpu.map((s) => s.toFixed(1)).join(', ')} s: the second quarter ${(half - quarter).toFixed(1)} s, ` +
      `the other half ${(whole - half).toFixed(1)} s (linear in area: twice as much)`,
  );
  const { timings } = await child(folder, 'tasks', join(folder, 'strokes-1.json'));
  const shares = Object.entries(timings).map(([what, s]) => `${what} ${s.toFixed(1)}`);
  print(`  by task, in one thread and from the sources: ${shares.join(', ')} s`);
}

/** So that no line holds what building takes. */
async function buildHost(folder: string): Promise<void> {
  await node(folder, [join(ROOT, 'bin', 'wetline.mjs'), '--version']);
}

async function startWindow(folder: string): Promise<void> {
  const library = join(folder, 'library');
  for (const title of ['start the window, empty library', 'start it again']) {
    const { page, sample } = await windowStart(library);
    print(row(`${title}: page`, page.toFixed(2), '', ''));
    print(row(`${title}: sample scan`, sample.toFixed(2), '', ''));
  }
  const { sample: seen, finding } = await firstLook(join(folder, 'first-library'));
  print(
    `First start beside a browser that starts: sample seen after ${seen.toFixed(2)} s, its findings after ${finding.toFixed(2)} s (aim 2)`,
  );
  for (const [width, height] of SCREENS) {
    const { sample, heatMedian, heat95, longestTask } = await windowLook(library, width, height);
    const [median, p95] = [heatMedian, heat95].map((ms) => ms.toFixed(0));
    const longest = longestTask === 0 ? 'none over 50 ms' : `the longest ${longestTask.toFixed(0)} ms`;
    print(
      `In a browser of ${width} × ${height}: sample seen after ${sample.toFixed(2)} s; map of ΔE00 follows in ${median} ms`,
    );
    print(
      `  (95th percentile ${p95} ms); tasks on the page's thread: ${longest} (aim 50, drawn without a graphics card)`,
    );
  }
  await busySpells(library);
  // Last: it fills the library.
  const { findings, first, edit } = await shelfTimes(library, SHELF_INKS);
  print(
    `A shelf of ${SHELF_INKS} inks with ${findings} findings each, ms of the processor: ${first.toFixed(0)} for the first time`,
  );
  print(
    `  after a start (in parts of 15), ${edit.toFixed(0)} for an edit of one ink with all that the window asks then`,
  );
}

/** The same on a library of its own. */
async function windowBusy(folder: string): Promise<void> {
  const wanted = { named: options.acts ?? '', times: Number(options.times ?? 1) };
  if (!Number.isInteger(wanted.times) || wanted.times < 1) {
    throw new Error(`--times "${options.times}" is no number of times; give a whole number, such as --times 5.`);
  }
  const library = join(folder, 'library');
  await firstLook(library);
  await busySpells(library, wanted);
}

async function busySpells(library: string, wanted: ActsWanted = ALL_ACTS_ONCE): Promise<void> {
  const byScreen: Record<string, readonly BusySpell[]> = {};
  for (const [width, height] of SCREENS) {
    byScreen[`${width} × ${height}`] = await windowTasks(library, width, height, wanted);
  }
  print('Longest task on the page’s own thread, ms of the processor (of the clock on the wall):');
  for (const line of tasksTable(byScreen)) print(line);
  const isAll = wanted.named === ALL_ACTS_ONCE.named;
  const isTold = ({ wallMs }: BusySpell): boolean => !isAll || wallMs > LONG_MS;
  if (!Object.values(byScreen).flat().some(isTold)) return;
  print(
    `What the processor did in it, ms by the trace’s names${isAll ? `, where it took over ${LONG_MS} ms on the wall` : ''}:`,
  );
  for (const [screen, spells] of Object.entries(byScreen)) {
    print(screen);
    for (const line of partsLines(spells.filter(isTold))) print(line);
  }
}

async function ratio(folder: string, page: string, stage: string, title: string, aim: number): Promise<void> {
  const { ours, theirs } = (await child(folder, stage, page)).timings;
  const times = (theirs / ours).toFixed(1);
  print(`${title} ${theirs.toFixed(2)} s, ours ${ours.toFixed(2)} s: ${times} times as fast (aim ${aim})`);
}

async function child(folder: string, stage: string, page: string): Promise<{ timings: Timings; peakMb: string }> {
  const script = join(ROOT, 'bench', 'stage.ts');
  const { code, output, peakMb } = await node(folder, ['--import', 'tsx', '--expose-gc', script, stage, page]);
  if (code !== 0) throw new Error(`The stage "${stage}" ended with exit code ${code}.`);
  return { timings: JSON.parse(output), peakMb };
}

/** A Node process that leaves its own peak memory behind when it ends: resident pages, worker threads included. */
function node(
  folder: string,
  args: readonly string[],
): Promise<{ code: number | null; output: string; peakMb: string; cpuS: number }> {
  const peakFile = join(folder, 'peak.txt');
  rmSync(peakFile, { force: true });
  const note = `import { writeFileSync } from 'node:fs';
    process.on('exit', () => {
      const { maxRSS, userCPUTime, systemCPUTime } = process.resourceUsage();
      writeFileSync(${JSON.stringify(peakFile)}, [maxRSS, userCPUTime + systemCPUTime].join(' '));
    });`;
  const hook = `data:text/javascript,${encodeURIComponent(note)}`;
  return new Promise((resolve, reject) => {
    const started = spawn(process.execPath, ['--import', hook, ...args], {
      cwd: ROOT,
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let output = '';
    started.stdout.setEncoding('utf8').on('data', (text: string) => (output += text));
    started.on('error', reject);
    started.on('close', (code) => {
      const [kB, cpuUs] = existsSync(peakFile) ? readFileSync(peakFile, 'utf8').split(' ').map(Number) : [];
      const peakMb = kB === undefined ? '?' : (kB / 1024).toFixed(0);
      resolve({ code, output, peakMb, cpuS: (cpuUs ?? NaN) / 1e6 });
    });
  });
}

function row(title: string, seconds: string, pace: string, memory: string): string {
  return title.padEnd(32) + seconds.padStart(10) + pace.padStart(14) + memory.padStart(14);
}

function print(line: string): void {
  process.stdout.write(`${line}\n`);
}
