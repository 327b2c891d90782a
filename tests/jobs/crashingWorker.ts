/** A worker that dies in the middle of one region, as one does that runs out of memory. */
import type worker from '../../electron/jobs/worker.ts';
import type { Task } from '../../electron/jobs/tasks.ts';
import { workerThread } from '../../electron/workerThread.ts';

// As any other thread of the tests: what was built loads at once.
const { default: run }: { default: typeof worker } = await import(workerThread('jobs').filename);

export default async function runOrDie(task: Task) {
  if (task.task === 'region' && task.id === 'swab') process.exit(9);
  return run(task);
}
