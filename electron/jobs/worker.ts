/** What runs in a worker thread: one task in, plain data out. Kept to a switch; the functions are tested on their own. */
import { isMainThread } from 'node:worker_threads';
import { CalibrationError } from '../../analysis/calibrate/calibrationError.ts';
import { freeRoom } from './freeRoom.ts';
import { isLarge } from './largeRegion.ts';
import { JobError } from './jobError.ts';
import type { StripTask } from './stripTasks.ts';
import type { Task } from './tasks.ts';
import type { TeachTask } from './teachTask.ts';

// What most threads are started for is loaded before its first task comes: while the sheet is read, or its paper looked for by another thread.
if (!isMainThread) setImmediate(() => void import('./measureRegion.ts'));

export default async function run(task: Task | TeachTask | StripTask) {
  try {
    return await carriedOut(task);
  } catch (error) {
    // Its code says what can be done about it, and outlives the way out of the thread (jobError.ts).
    throw error instanceof CalibrationError ? new JobError(error.code, error.message) : error;
  } finally {
    if (takesMuch(task)) freeRoom();
  }
}

/**
 * Looking for room also lets go of what is known of objects that nobody holds at the moment, and with it of all code that was compiled for them: after each
 * region of a page a tenth of the processor's time went into compiling it anew. What usual regions leave behind is found when it has come to be much (pool.ts).
 */
function takesMuch(task: Task | TeachTask | StripTask): boolean {
  return task.task !== 'paper' && (task.task !== 'region' || isLarge(task.boxPx));
}

/** Each loaded when asked for: a thread that measures lines waits for no strips, pictures or films. */
async function carriedOut(task: Task | TeachTask | StripTask) {
  switch (task.task) {
    case 'calibrate':
      return (await import('./calibrateTarget.ts')).calibrateTarget(task);
    case 'paper':
      return (await import('./findBarePaper.ts')).findBarePaper(task);
    case 'region':
      return (await import('./measureRegion.ts')).measureRegion(task);
    case 'film':
      return (await import('./fitFilm.ts')).fitFilmOf(task);
    case 'overlay':
      return (await import('../overlays/drawOverlay.ts')).drawOverlay(task);
    case 'teach':
      return (await import('./teach.ts')).teachFromScans(task);
    case 'straight':
      return (await import('./lookAtStrip.ts')).straightStrip(task);
    case 'propose':
      return (await import('./lookAtStrip.ts')).stripsOnScan(task);
    case 'dyes-along':
      return (await import('./lookAtStrip.ts')).dyesAlong(task);
    case 'dyes-over':
      return (await import('./lookAtStrip.ts')).dyesOver(task);
  }
}
