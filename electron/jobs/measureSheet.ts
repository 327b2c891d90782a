/** A whole sheet measured: targets first, then each paper, each region, and what is held against each other. */
import { join } from 'node:path';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { whyMissing } from '../../analysis/report/missing.ts';
import { makeOutputFolder } from '../files/outputFolder.ts';
import { writeWhole } from '../files/writeWhole.ts';
import type { LoadedScan, LoadedSheet, LoadedTarget, RegionProblem } from '../sheet/loadedSheet.ts';
import {
  calibrateTarget,
  calibrateTargets,
  calibrationOfScan,
  type ScanCalibration,
  targetsOf,
  withoutTargets,
} from './calibrateSheet.ts';
import { changedSettings, stripAsSet } from './changedSettings.ts';
import { frontRegion } from './frontOf.ts';
import { JobError } from './jobError.ts';
import { asFound, filmTargets, filmTask, withFilms } from './filmTasks.ts';
import { isMeasurable, type Measurable, measureOf, whyNotMeasured } from './measurable.ts';
import { type MeasuredInks, opacityFindings, penRegion } from './opacityFindings.ts';
import { overlayTask, picturesOf } from './overlayTasks.ts';
import { pairFindings } from './pairFindings.ts';
import { paperKey, papersOf, toPx } from './paperGroups.ts';
import { MOST_PIXELS, PixelBudget } from './pixelBudget.ts';
import { PlainCopies } from './plainCopies.ts';
import { flagSharedInk } from './sharedInk.ts';
import { WorkerPool } from './pool.ts';
import type {
  CalibrateResult,
  FrontTask,
  FilmResult,
  PaperResult,
  RegionResult,
  RegionTask,
  TaskRunner,
} from './tasks.ts';

export interface JobOptions {
  readonly onProgress?: (done: number, total: number, what: string) => void;
  /** Each region as soon as it is measured; pairs come last, with the outcome. */
  readonly onRegion?: (result: RegionResult, task: RegionTask) => void;
  readonly signal?: AbortSignal;
  readonly overlaysDir?: string;
  readonly force?: boolean;
}

export interface MeasureOutcome {
  readonly findings: readonly Quantity[];
  readonly calibration: Calibration;
  /** One for each target under which the ink was written. */
  readonly films: readonly FilmResult[];
  /** Regions that could not be measured, each with one clear line. */
  readonly problems: readonly RegionProblem[];
  /** Files written. */
  readonly overlays: readonly string[];
  /** Pictures that could not be, each with one clear line. */
  readonly undrawn: readonly string[];
}

export interface CalibrateOutcome extends CalibrateResult {
  readonly target: LoadedTarget;
}

export async function calibrateSheet(loaded: LoadedSheet, options: JobOptions = {}): Promise<CalibrateOutcome> {
  const pool = new WorkerPool();
  const runner = new PlainCopies(pool);
  try {
    if (loaded.targetProblems.length > 0) throw new JobError('target-unusable', loaded.targetProblems[0]);
    const target = loaded.target ?? targetsOf(loaded)[0];
    if (!target) {
      throw new JobError(
        'no-target',
        `${loaded.file}: the sheet names no "target"; add one with its scan, layout and reference.`,
      );
    }
    options.onProgress?.(0, 1, 'calibrating');
    const result = await calibrateTarget(target, runner, options.signal);
    options.onProgress?.(1, 1, 'calibrated');
    return { ...result, target };
  } finally {
    await pool.close();
    await runner.close();
  }
}

/** @param pool Closed at the end; whoever started it before the sheet was read spares the time that its threads take to start. */
export async function measureSheet(
  loaded: LoadedSheet,
  options: JobOptions = {},
  pool: WorkerPool = new WorkerPool(),
): Promise<MeasureOutcome> {
  const runner = new PlainCopies(new PixelBudget(pool, MOST_PIXELS));
  try {
    return await measureWith(runner, loaded, options);
  } finally {
    await pool.close();
    await runner.close();
  }
}

/** How many steps a sheet takes to measure, pictures aside. */
export function measurementSteps(loaded: LoadedSheet): number {
  const regions = loaded.regions.filter(isMeasurable);
  return targetsOf(loaded).length + papersOf(loaded.scans, regions).size + regions.length + filmTargets(loaded).length;
}

/** The same by any runner of tasks; accuracy studies run them in their own thread. */
export async function measureWith(
  runner: TaskRunner,
  given: LoadedSheet,
  options: JobOptions,
): Promise<MeasureOutcome> {
  const { signal, overlaysDir } = options;
  const everyTarget = targetsOf(given);
  const total = measurementSteps(given) + (overlaysDir === undefined ? 0 : picturesOf(given, everyTarget).length);
  let done = 0;
  const step = async <T>(what: string, work: Promise<T>): Promise<T> => {
    const result = await work;
    done++;
    options.onProgress?.(done, total, what);
    return result;
  };
  options.onProgress?.(0, total, 'starting');
  const { results, failed } = await calibrateTargets(everyTarget, (t) =>
    step('target', calibrateTarget(t, runner, signal)),
  );
  const { loaded, lost } = withoutTargets(given, failed);
  const regions = loaded.regions.filter(isMeasurable);
  const problems: RegionProblem[] = loaded.regions
    .filter((region) => !isMeasurable(region))
    .map((region) => ({ region: region.id, message: whyNotMeasured(region) }));
  problems.push(...lost);
  const papers = papersOf(loaded.scans, regions);
  const pictures = overlaysDir === undefined ? [] : picturesOf(loaded, targetsOf(loaded));
  const calibrations = new Map(
    await Promise.all(
      [...loaded.scans.values()].map(async (s) => [s.id, await calibrationOfScan(s, loaded, results)] as const),
    ),
  );

  // Each region waits for its own paper only: strips, which bring theirs, start at once.
  const found = new Map(
    [...papers].map(([key, group]) => {
      const { scan, paper, ...boxes } = group;
      const { calibration } = calibrations.get(scan.id)!;
      const task = { task: 'paper' as const, ...place(scan), calibration, ...boxes };
      return [key, step(paper, runner.paper(task, signal))] as const;
    }),
  );
  const changed = changedSettings(papers, found, calibrations);
  const frontTask = async (front: Measurable): Promise<FrontTask> => {
    const scan = loaded.scans.get(front.scan)!;
    const paper = (await found.get(paperKey(front)))?.paper ?? null;
    const { calibration, flags } = calibrations.get(front.scan)!;
    return { region: front.id, ...place(scan), calibration, boxPx: toPx(front.boxMm, scan), paper, flags };
  };
  const measuredOne = async (region: Measurable): Promise<RegionResult | null> => {
    try {
      const front = frontRegion(region, loaded.regions);
      // A strip is judged against its own paper beside the lane: what else lies on its scan does not concern it.
      const key = region.kind !== 'strip' && region.kind !== 'reverse' ? paperKey(region) : null;
      const { paper, bare, resampled } = (key !== null && (await found.get(key))) || NO_PAPER;
      const [scan, calibration] = [loaded.scans.get(region.scan)!, calibrations.get(region.scan)!];
      const isOther = key !== null && (await changed.get(key)) === true;
      const task = {
        ...regionTask(scan, region, calibration, { paper, bare, ...(resampled && { resampled }) }, isOther),
        ...(front && { measure: measureOf(region, await frontTask(front)) }),
      };
      const result = stripAsSet(await step(region.id, runner.region(task, signal)), scan, calibration);
      options.onRegion?.(result, task);
      return result;
    } catch (error) {
      if (signal?.aborted) throw error;
      problems.push({ region: region.id, message: messageOf(error) });
      return null;
    }
  };
  const measured = new Map(
    await Promise.all(
      largestFirst(regions, loaded.scans).map(async (region) => [region.id, await measuredOne(region)] as const),
    ),
  );
  const alone = new Map(
    regions.flatMap(({ id }) => {
      const one = measured.get(id);
      return one ? [[id, one] as const] : [];
    }),
  );
  const byId = flagSharedInk(regions, alone, loaded.scans);
  for (const { id, quantities } of byId.values()) {
    if (quantities[0]?.value !== null) continue;
    const { because, advice } = whyMissing(quantities[0]);
    problems.push({ region: id, message: `no value: ${because}. ${advice}`.trimEnd() });
  }
  const scanOf = new Map(regions.map((region) => [region.id, region.scan]));
  const calibration =
    (loaded.target && results.get(loaded.target)?.calibration) ??
    [...calibrations.values()][0]?.calibration ??
    nominalCalibration;
  const byMap = [
    ...regions.flatMap((r) => byId.get(r.id)?.quantities ?? []),
    ...(await pairFindings(regions, byId, (scan) => calibrations.get(scan)!.calibration)),
  ];
  const fits = await Promise.all(
    filmTargets(loaded).map(async (target): Promise<FilmResult[]> => {
      const task = await filmTask(target, loaded, { calibrations, papers: found, results: byId, findings: byMap });
      try {
        return await step(
          'film',
          task === null ? Promise.resolve([]) : runner.film(task, signal).then((film) => [film]),
        );
      } catch (error) {
        if (signal?.aborted || task === null) throw error;
        problems.push({ region: task.regions[0].ink.region, message: `no film fitted: ${messageOf(error)}` });
        return [];
      }
    }),
  );
  const films = fits.flat();
  const told = withFilms(
    byMap,
    films.flatMap((film) => film.findings),
  );
  const findings = [
    ...told,
    ...(await opacityFindings(
      inksOf(regions, byId, told, films),
      (id) => calibrations.get(scanOf.get(id)!)!.calibration,
    )),
  ];
  const shown = asFound(byId, findings);
  const undrawn: string[] = [];
  const drawn = await Promise.all(
    pictures.map(async (picture): Promise<string[]> => {
      const file = join(overlaysDir!, `${picture.scanId}.png`);
      const task = overlayTask(picture, loaded, calibrations, results, shown);
      try {
        const png = await step(`picture of ${picture.scanId}`, runner.overlay(task, signal));
        await makeOutputFolder(overlaysDir!);
        await writeWhole(file, png, { force: options.force ?? false });
        return [file];
      } catch (error) {
        if (signal?.aborted) throw error;
        undrawn.push(`picture of "${picture.scanId}": ${messageOf(error)}`);
        return [];
      }
    }),
  );
  const overlays = drawn.flat();
  return { findings, calibration, films, problems, overlays, undrawn };
}

/** One thread would stand idle while another begins with the largest. */
function largestFirst(regions: readonly Measurable[], scans: LoadedSheet['scans']): Measurable[] {
  const areaPx = ({ boxMm: [, , width, height], scan }: Measurable): number =>
    width * height * scans.get(scan)!.dpi ** 2;
  return regions.toSorted((a, b) => areaPx(b) - areaPx(a));
}

function inksOf(
  regions: readonly Measurable[],
  byId: ReadonlyMap<string, RegionResult>,
  findings: readonly Quantity[],
  films: readonly FilmResult[],
): MeasuredInks {
  return {
    regions: regions.map((region) => penRegion(region)),
    findings,
    fits: films.flatMap(({ inks }) => inks),
    paperUnder: (id) => byId.get(id)?.ink?.paper.lab ?? null,
    barOf: (id) => byId.get(id)?.bar ?? null,
  };
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

function place(scan: LoadedScan) {
  return { info: scan.info, dpi: scan.dpi };
}

function regionTask(
  scan: LoadedScan,
  region: Measurable,
  { calibration, scannerBlurMm, flags }: ScanCalibration,
  paper: PaperResult,
  isOther: boolean,
): RegionTask {
  return {
    task: 'region',
    ...place(scan),
    calibration,
    id: region.id,
    boxPx: toPx(region.boxMm, scan),
    measure: measureOf(region),
    ...paper,
    scannerBlurMm,
    scanFlags: isOther && !flags.includes('settings-changed') ? [...flags, 'settings-changed'] : flags,
  };
}

const NO_PAPER: PaperResult = { paper: null, bare: null };
