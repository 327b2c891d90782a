/** A whole sheet measured: targets first, then each paper, each region, and what is held against each other. */
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { writeWhole } from '../files/writeWhole.ts';
import type { LoadedRegion, LoadedScan, LoadedSheet, RegionProblem } from '../sheet/loadedSheet.ts';
import { calibrateTargets, calibrationOfScan, type ScanCalibration, targetsOf } from './calibrateSheet.ts';
import { JobError } from './jobError.ts';
import { pairFindings } from './pairFindings.ts';
import { paperKey, papersOf, toPx } from './paperGroups.ts';
import { WorkerPool } from './pool.ts';
import type { PaperResult, RegionResult, RegionTask } from './tasks.ts';

export interface JobOptions {
  readonly onProgress?: (done: number, total: number, what: string) => void;
  readonly signal?: AbortSignal;
  readonly overlaysDir?: string;
  readonly force?: boolean;
}

export interface MeasureOutcome {
  readonly findings: readonly Quantity[];
  readonly calibration: Calibration;
  /** Regions that could not be measured, each with one clear line. */
  readonly problems: readonly RegionProblem[];
  /** Files written. */
  readonly overlays: readonly string[];
}

export interface CalibrateOutcome {
  readonly calibration: Calibration;
}

const MEASURED_KINDS = ['paper', 'strokes', 'swab', 'strip'] as const;
type MeasuredKind = (typeof MEASURED_KINDS)[number];

export async function calibrateSheet(loaded: LoadedSheet, options: JobOptions = {}): Promise<CalibrateOutcome> {
  const pool = new WorkerPool();
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
    const results = await calibrateTargets([target], pool, options.signal);
    options.onProgress?.(1, 1, 'calibrated');
    return { calibration: results.get(target)!.calibration };
  } finally {
    await pool.close();
  }
}

export async function measureSheet(loaded: LoadedSheet, options: JobOptions = {}): Promise<MeasureOutcome> {
  const pool = new WorkerPool();
  try {
    return await measureInPool(loaded, options, pool);
  } finally {
    await pool.close();
  }
}

async function measureInPool(loaded: LoadedSheet, options: JobOptions, pool: WorkerPool): Promise<MeasureOutcome> {
  const { signal } = options;
  const problems: RegionProblem[] = [...loaded.problems];
  const regions = loaded.regions.filter((region) => {
    const problem = whyNotMeasured(region);
    if (problem) problems.push({ region: region.id, message: problem });
    return !problem;
  });
  const targets = targetsOf(loaded);
  const papers = papersOf(loaded.scans, regions);
  const scansDrawn = options.overlaysDir ? [...loaded.scans.values()] : [];
  const total = targets.length + papers.size + regions.length + scansDrawn.length;
  let done = 0;
  const step = async <T>(what: string, work: Promise<T>): Promise<T> => {
    const result = await work;
    done++;
    options.onProgress?.(done, total, what);
    return result;
  };
  options.onProgress?.(0, total, 'starting');
  const results = await step('target', calibrateTargets(targets, pool, signal));
  done = targets.length;
  const calibrations = new Map([...loaded.scans.values()].map((s) => [s.id, calibrationOfScan(s, loaded, results)]));

  const found = new Map(
    await Promise.all(
      [...papers].map(async ([key, group]): Promise<[string, PaperResult]> => {
        const { calibration } = calibrations.get(group.scan.id)!;
        const task = {
          task: 'paper' as const,
          ...place(group.scan),
          calibration,
          boxPx: group.boxPx,
          markedPx: group.markedPx,
        };
        return [key, await step(group.paper, pool.paper(task, signal))];
      }),
    ),
  );
  const measured = await Promise.all(
    regions.map(async (region): Promise<RegionResult | null> => {
      const task = regionTask(loaded.scans.get(region.scan)!, region, calibrations, found);
      try {
        return await step(region.id, pool.region(task, signal));
      } catch (error) {
        if (signal?.aborted) throw error;
        problems.push({ region: region.id, message: error instanceof Error ? error.message : String(error) });
        return null;
      }
    }),
  );
  const byId = new Map(measured.flatMap((m) => (m ? [[m.id, m] as const] : [])));
  for (const result of byId.values()) {
    const [main] = result.quantities;
    if (main && main.value === null)
      problems.push({ region: result.id, message: `no value: ${main.flags.join(', ')}` });
  }
  const calibration =
    (loaded.target && results.get(loaded.target)?.calibration) ??
    [...calibrations.values()][0]?.calibration ??
    nominalCalibration;
  const findings = [
    ...regions.flatMap((r) => byId.get(r.id)?.quantities ?? []),
    ...pairFindings(regions, byId, calibration),
  ];
  const overlays: string[] = [];
  for (const scan of scansDrawn) {
    const file = join(options.overlaysDir!, `${scan.id}.png`);
    const png = await step(
      `picture of ${scan.id}`,
      pool.overlay(overlayTask(scan, loaded, calibrations.get(scan.id)!, byId), signal),
    );
    await mkdir(options.overlaysDir!, { recursive: true });
    await writeWhole(file, png, { force: options.force ?? false });
    overlays.push(file);
  }
  return { findings, calibration, problems, overlays };
}

function whyNotMeasured(region: LoadedRegion): string | null {
  if (!(MEASURED_KINDS as readonly string[]).includes(region.kind)) {
    return `regions of kind "${region.kind}" are not measured yet; ${MEASURED_KINDS.join(', ')} are`;
  }
  if (!region.boxMm) return `it has no "boxMm"; give its place in the scan as [x, y, width, height] in mm`;
  return null;
}

function place(scan: LoadedScan) {
  return { info: scan.info, dpi: scan.dpi };
}

function regionTask(
  scan: LoadedScan,
  region: LoadedRegion,
  calibrations: ReadonlyMap<string, ScanCalibration>,
  found: ReadonlyMap<string, PaperResult>,
): RegionTask {
  const { calibration, scannerBlurMm, flags } = calibrations.get(scan.id)!;
  return {
    task: 'region',
    ...place(scan),
    calibration,
    id: region.id,
    boxPx: toPx(region.boxMm!, scan),
    measure:
      region.kind === 'strip'
        ? {
            kind: region.kind,
            travel: region.travel ?? 'up',
            originMm: region.originMm ?? null,
            frontMm: region.frontMm ?? null,
            run: region.run ?? null,
          }
        : { kind: region.kind as Exclude<MeasuredKind, 'strip'> },
    ...(found.get(paperKey(region)) ?? { paper: null, bare: null }),
    scannerBlurMm,
    scanFlags: flags,
  };
}

function overlayTask(
  scan: LoadedScan,
  loaded: LoadedSheet,
  calibrated: ScanCalibration,
  byId: ReadonlyMap<string, RegionResult>,
) {
  const { target, pointsPx } = calibrated;
  const holdsTarget = target !== null && pointsPx !== null && target.info.file === scan.info.file;
  return {
    task: 'overlay' as const,
    ...place(scan),
    scanId: scan.id,
    paper: scan.paper ?? null,
    calibration: calibrated.calibration,
    target: holdsTarget ? { pointsPx, layout: target.layout } : null,
    regions: loaded.regions
      .filter((r) => r.scan === scan.id && r.boxMm)
      .map((r) => ({
        id: r.id,
        kind: r.kind,
        nib: 'nib' in r ? (r.nib ?? null) : null,
        boxPx: toPx(r.boxMm!, scan),
        result: byId.get(r.id) ?? null,
      })),
  };
}
