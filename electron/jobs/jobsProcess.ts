/** What runs in the process that measures: orders in, answers out; the work is done by its worker threads. */
import { JobError } from './jobError.ts';
import { WorkerPool } from './pool.ts';
import { isOrder, type JobsAnswer, type JobsFault, type JobsOrder } from './processMessages.ts';
import { stepBack } from './stepBack.ts';
import type { StripRunner, StripTask } from './stripTasks.ts';
import type { Task, TaskRunner } from './tasks.ts';
import type { TeachRunner, TeachTask } from './teachTask.ts';

// Before its threads start, which take after it.
stepBack();
const pool = new WorkerPool(Number(process.argv[2]));
const stops = new Map<number, AbortController>();

const hear = (message: unknown): void => {
  if (isOrder(message)) void take(message);
};
/** Electron gives its own way to the one who started this; null: a child of Node.js. */
const port = 'parentPort' in process ? process.parentPort : null;
port?.on('message', ({ data }) => hear(data));
process.on('message', hear);
// Without the one who asked there is nothing to do.
process.on('disconnect', () => process.exit());

async function take(order: JobsOrder): Promise<void> {
  const { id } = order;
  if ('stop' in order) {
    stops.get(id)?.abort();
    return;
  }
  const stop = new AbortController();
  stops.set(id, stop);
  try {
    answer({ id, result: await carryOut(pool, order.task, stop.signal) });
  } catch (error) {
    if (!stop.signal.aborted) answer({ id, fault: faultOf(error) });
  } finally {
    stops.delete(id);
  }
}

function carryOut(
  runner: TaskRunner & TeachRunner & StripRunner,
  task: Task | TeachTask | StripTask,
  signal: AbortSignal,
): Promise<unknown> {
  switch (task.task) {
    case 'calibrate':
      return runner.calibrate(task, signal);
    case 'paper':
      return runner.paper(task, signal);
    case 'region':
      return runner.region(task, signal);
    case 'film':
      return runner.film(task, signal);
    case 'overlay':
      return runner.overlay(task, signal);
    case 'teach':
      return runner.teach(task, signal);
    case 'straight':
      return runner.straight(task, signal);
    case 'propose':
      return runner.propose(task, signal);
    case 'dyes-along':
      return runner.dyesAlong(task, signal);
    case 'dyes-over':
      return runner.dyesOver(task, signal);
  }
}

function answer(message: JobsAnswer): void {
  if (port) port.postMessage(message);
  else process.send?.(message);
}

function faultOf(error: unknown): JobsFault {
  return {
    message: error instanceof Error ? error.message : String(error),
    code: error instanceof JobError ? error.code : null,
  };
}
