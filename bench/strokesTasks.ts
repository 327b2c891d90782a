/** What the tasks of a sheet take of the processor, one after the other in one thread: which part of the work is worth looking at. */
import { calibrateTarget } from '../electron/jobs/calibrateTarget.ts';
import { findBarePaper } from '../electron/jobs/findBarePaper.ts';
import { fitFilmOf } from '../electron/jobs/fitFilm.ts';
import { measureRegion } from '../electron/jobs/measureRegion.ts';
import { measureWith } from '../electron/jobs/measureSheet.ts';
import type { TaskRunner } from '../electron/jobs/tasks.ts';
import { loadSheet } from '../electron/sheet/sheet.ts';
import type { Timings } from './stages.ts';

/** Seconds by task; 'sheet' is what reads it, 'between' what holds the regions against each other. */
export async function taskTimings(sheet: string): Promise<Timings> {
  const seconds: Timings = {};
  const spent = (what: string, from: number): void => {
    seconds[what] = (seconds[what] ?? 0) + cpuS() - from;
  };
  let last: Promise<unknown> = Promise.resolve();
  const inTurn = <T>(what: string, work: () => Promise<T> | T): Promise<T> => {
    const done = last.then(async () => {
      const from = cpuS();
      try {
        return await work();
      } finally {
        spent(what, from);
      }
    });
    last = done.catch(() => {});
    return done;
  };
  const runner: TaskRunner = {
    calibrate: (task) => inTurn('target', () => calibrateTarget(task)),
    paper: (task) => inTurn('paper', () => findBarePaper(task)),
    region: (task) => inTurn('regions', () => measureRegion(task)),
    film: (task) => inTurn('film', () => fitFilmOf(task)),
    overlay: () => Promise.reject(new Error('No pictures are asked for.')),
  };
  const began = cpuS();
  const loaded = await loadSheet(sheet);
  spent('sheet', began);
  const from = cpuS();
  await measureWith(runner, loaded, {});
  const tasks = ['target', 'paper', 'regions', 'film'].reduce((sum, what) => sum + (seconds[what] ?? 0), 0);
  return { ...seconds, between: cpuS() - from - tasks };
}

function cpuS(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
}
