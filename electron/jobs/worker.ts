/** What runs in a worker thread: one task in, plain data out. Kept to a switch; the functions are tested on their own. */
import { CalibrationError } from '../../analysis/calibrate/calibrationError.ts';
import { drawOverlay } from '../overlays/drawOverlay.ts';
import { calibrateTarget } from './calibrateTarget.ts';
import { fitFilmOf } from './fitFilm.ts';
import { findBarePaper } from './findBarePaper.ts';
import { freeRoom } from './freeRoom.ts';
import { JobError } from './jobError.ts';
import { dyesAlong, dyesOver, straightStrip, stripsOnScan } from './lookAtStrip.ts';
import { measureRegion } from './measureRegion.ts';
import type { StripTask } from './stripTasks.ts';
import type { Task } from './tasks.ts';
import { teachFromScans } from './teach.ts';
import type { TeachTask } from './teachTask.ts';

export default async function run(task: Task | TeachTask | StripTask) {
  try {
    return await carriedOut(task);
  } catch (error) {
    // Its code says what can be done about it, and outlives the way out of the thread (jobError.ts).
    throw error instanceof CalibrationError ? new JobError(error.code, error.message) : error;
  } finally {
    freeRoom();
  }
}

async function carriedOut(task: Task | TeachTask | StripTask) {
  switch (task.task) {
    case 'calibrate':
      return calibrateTarget(task);
    case 'paper':
      return findBarePaper(task);
    case 'region':
      return measureRegion(task);
    case 'film':
      return fitFilmOf(task);
    case 'overlay':
      return drawOverlay(task);
    case 'teach':
      return teachFromScans(task);
    case 'straight':
      return straightStrip(task);
    case 'propose':
      return stripsOnScan(task);
    case 'dyes-along':
      return dyesAlong(task);
    case 'dyes-over':
      return dyesOver(task);
  }
}
