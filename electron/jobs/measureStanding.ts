/** An ink's work measured as it stands: targets that are impossible cost their own scans' regions, never the others. */
import { targetsOf } from './calibrateSheet.ts';
import type { Calibrations } from './calibrations.ts';
import { JobError } from './jobError.ts';
import { measureWith, measurementSteps, type MeasureOutcome } from './measureSheet.ts';
import type { RememberingRunner } from './rememberingRunner.ts';
import type { CalibrateResult, RegionResult, RegionTask, TaskRunner } from './tasks.ts';
import type { LoadedSheet, LoadedTarget, RegionProblem } from '../sheet/loadedSheet.ts';
import type { Standing } from '../answers/standing.ts';

export interface StandingOptions {
  readonly signal: AbortSignal;
  readonly onProgress: (done: number, total: number) => void;
  readonly onRegion: (result: RegionResult, task: RegionTask, key: string) => void;
  readonly inWords: (error: unknown) => string;
}

export async function measureStanding(
  standing: Standing,
  runner: RememberingRunner,
  calibrations: Calibrations,
  { signal, onProgress, onRegion, inWords }: StandingOptions,
): Promise<MeasureOutcome> {
  const { loaded } = standing;
  const total = measurementSteps(loaded);
  const made = new Map<LoadedTarget, CalibrateResult>();
  const lost = new Map<LoadedTarget, string>();
  let done = 0;
  await Promise.all(
    standing.targets.map(async (target) => {
      try {
        made.set(target.loaded, await calibrations.make(target, runner, signal));
      } catch (error) {
        if (signal.aborted || !(error instanceof JobError)) throw error;
        lost.set(target.loaded, error.message);
      }
      onProgress(++done, total);
    }),
  );
  const { left, problems } = withoutTargets(loaded, lost);
  const missed = total - measurementSteps(left);
  const outcome = await measureWith(withCalibrations(runner, left, made), left, {
    signal,
    onProgress: (stepsDone) => onProgress(Math.max(done, stepsDone + missed), total),
    onRegion: (result, task) => onRegion(result, task, runner.keyOf(task)),
  });
  return {
    ...outcome,
    problems: [...loaded.problems, ...problems, ...outcome.problems].map(({ region, message }) => ({
      region,
      message: inWords(message),
    })),
  };
}

/** The sheet without the regions that an impossible target makes unmeasurable. */
function withoutTargets(
  loaded: LoadedSheet,
  lost: ReadonlyMap<LoadedTarget, string>,
): { left: LoadedSheet; problems: RegionProblem[] } {
  if (lost.size === 0) return { left: loaded, problems: [] };
  const whyOf = (scan: string): string | undefined => {
    const target = loaded.targets.get(scan);
    return target ? lost.get(target) : undefined;
  };
  const problems = loaded.regions.flatMap((region) => {
    const message = whyOf(region.scan);
    return message === undefined ? [] : [{ region: region.id, message }];
  });
  const targets = new Map([...loaded.targets].filter(([, target]) => target === null || !lost.has(target)));
  return {
    left: {
      ...loaded,
      regions: loaded.regions.filter((region) => whyOf(region.scan) === undefined),
      targets,
      target: loaded.target && lost.has(loaded.target) ? null : loaded.target,
    },
    problems,
  };
}

/** The same runner, its targets calibrated already. */
function withCalibrations(
  runner: RememberingRunner,
  loaded: LoadedSheet,
  made: ReadonlyMap<LoadedTarget, CalibrateResult>,
): TaskRunner {
  return {
    calibrate: (task, signal) => {
      const target = targetsOf(loaded).find(
        (t) =>
          t.info === task.info &&
          t.layout === task.layout &&
          t.reference === task.reference &&
          (t.pointsMm ?? null) === task.pointsMm &&
          (t.white ?? null) === task.white,
      );
      const result = target && made.get(target);
      return result ? Promise.resolve(result) : runner.calibrate(task, signal);
    },
    paper: (task, signal) => runner.paper(task, signal),
    region: (task, signal) => runner.region(task, signal),
    film: (task, signal) => runner.film(task, signal),
    overlay: (task, signal) => runner.overlay(task, signal),
  };
}
