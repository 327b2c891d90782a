/** A worker that dies in the middle of one region, as one does that runs out of memory. */
import run from '../../electron/jobs/worker.ts';
import type { Task } from '../../electron/jobs/tasks.ts';

export default async function runOrDie(task: Task) {
  if (task.task === 'region' && task.id === 'swab') process.exit(9);
  return run(task);
}
