/** The process that measures: the same answers as threads of one's own, told to stop, lost, and started anew. */
import { afterEach, describe, expect, test } from 'vitest';
import { targetsOf } from '../../electron/jobs/calibrateSheet.ts';
import { forkedJobs } from '../../electron/jobs/forkedJobs.ts';
import type { JobsAnswer, JobsOrder, JobsProcess } from '../../electron/jobs/processMessages.ts';
import { ProcessPool } from '../../electron/jobs/processPool.ts';
import type { CalibrateTask } from '../../electron/jobs/tasks.ts';
import run from '../../electron/jobs/worker.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';

const pools: ProcessPool[] = [];
afterEach(async () => {
  for (const pool of pools.splice(0)) await pool.close();
});
function poolOf(start: (threads: number) => JobsProcess = forkedJobs): ProcessPool {
  const pool = new ProcessPool(1, start);
  pools.push(pool);
  return pool;
}

const sheet = await loadSheet(`${import.meta.dirname}/../../sample-scans`);
const [target] = targetsOf(sheet);
const TASK: CalibrateTask = {
  task: 'calibrate',
  info: target.info,
  dpi: target.dpi,
  layout: target.layout,
  reference: target.reference,
  pointsMm: null,
  white: null,
};

describe('a real process', () => {
  test('answers as a thread of one’s own would, to the last bit; a fault keeps its words', async () => {
    const pool = poolOf();
    expect(await pool.calibrate(TASK)).toEqual(await run(TASK));
    const lost = { ...TASK, info: { ...TASK.info, file: 'nowhere/gone.png' } };
    await expect(pool.calibrate(lost)).rejects.toThrow(/gone\.png/);
  });

  test('told to stop it stops, and goes on with what comes next', async () => {
    const pool = poolOf();
    const stop = new AbortController();
    const stopped = pool.calibrate(TASK, stop.signal);
    stop.abort(new DOMException('cancelled', 'AbortError'));
    await expect(stopped).rejects.toThrow('cancelled');
    await expect(pool.calibrate(TASK, stop.signal)).rejects.toThrow('cancelled');
    expect((await pool.calibrate(TASK)).calibration.judgement).toBe('good');
  });

  test('lost in the middle, the task says so, and the next one has another process', async () => {
    const started: JobsProcess[] = [];
    const pool = poolOf((threads) => {
      const jobs = forkedJobs(threads);
      started.push(jobs);
      return jobs;
    });
    const asked = pool.calibrate(TASK);
    started[0].kill();
    await expect(asked).rejects.toMatchObject({ code: 'worker-lost' });
    expect((await pool.calibrate(TASK)).calibration.judgement).toBe('good');
    expect(started).toHaveLength(2);
  });
});

/** Another side that answers what the test says. */
function drawn(answers: (order: JobsOrder) => object | null) {
  const orders: JobsOrder[] = [];
  let exited = (): void => {};
  let tell: (answer: JobsAnswer) => void = () => {};
  const start = (): JobsProcess => ({
    send: (order) => {
      orders.push(order);
      const answer = answers(order);
      if (answer) tell({ id: order.id, result: answer });
    },
    onAnswer: (listener) => (tell = listener),
    onExit: (listener) => (exited = listener),
    kill: () => exited(),
  });
  return { orders, start };
}

test('no process is started before there is work, none twice, and closing ends it', async () => {
  let count = 0;
  const other = drawn(() => ({ calibration: null }));
  const pool = poolOf(() => {
    count++;
    return other.start();
  });
  expect(count).toBe(0);
  await Promise.all([pool.calibrate(TASK), pool.calibrate(TASK)]);
  expect(count).toBe(1);
  await pool.close();
  await pool.calibrate(TASK);
  expect(count).toBe(2);
  pool.warm();
  expect(count).toBe(2);
  await pool.close();
  pool.warm();
  expect(count).toBe(3);
});

test('an answer of another kind is no answer', async () => {
  const other = drawn(() => ({ quantities: [] }));
  await expect(poolOf(other.start).calibrate(TASK)).rejects.toThrow(/something else/);
});

test('what was stopped is told to the other side', async () => {
  const other = drawn(() => null);
  const stop = new AbortController();
  const asked = poolOf(other.start).calibrate(TASK, stop.signal);
  stop.abort();
  await expect(asked).rejects.toThrow('aborted');
  expect(other.orders.map((order) => ('stop' in order ? 'stop' : order.task.task))).toEqual(['calibrate', 'stop']);
});
