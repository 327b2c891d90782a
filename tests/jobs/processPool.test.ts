/** The process that measures: the same answers as threads of one's own, told to stop, lost, and started anew. */
import { join } from 'node:path';
import { afterEach, describe, expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { barePaperFromSurface } from '../../analysis/measure/barePaper.ts';
import { forkedJobs } from '../../electron/jobs/forkedJobs.ts';
import type { JobsAnswer, JobsOrder, JobsProcess } from '../../electron/jobs/processMessages.ts';
import { ProcessPool } from '../../electron/jobs/processPool.ts';
import type { RegionResult, RegionTask } from '../../electron/jobs/tasks.ts';
import run from '../../electron/jobs/worker.ts';
import { scanInfo } from '../../electron/scans/scanInfo.ts';
import { flatSurface } from '../../study/flatSurface.ts';

const pools: ProcessPool[] = [];
afterEach(async () => {
  for (const pool of pools.splice(0)) await pool.close();
});
function poolOf(start: (threads: number) => JobsProcess = forkedJobs): ProcessPool {
  const pool = new ProcessPool(1, start);
  pools.push(pool);
  return pool;
}

const YELLOW = join(import.meta.dirname, '../../sample-scans/yellow.png');
const PAPER = flatSurface([0.887, 0.863, 0.505]);
/** A few words: masks and curves come back as well as figures. */
const TASK: RegionTask = {
  task: 'region',
  info: await scanInfo(YELLOW),
  dpi: 300,
  calibration: nominalCalibration,
  id: 'm',
  boxPx: [60, 385, 300, 142],
  measure: { kind: 'strokes', nibWidthMm: 0.65 },
  paper: PAPER,
  bare: barePaperFromSurface(PAPER, compileCalibration(nominalCalibration)),
  scannerBlurMm: null,
  scanFlags: [],
};
const isMeasured = ({ marks, quantities }: RegionResult) => marks !== null && quantities.length > 3;

describe('a real process', () => {
  test('answers as a thread of one’s own would, to the last bit; a fault keeps its words', async () => {
    const pool = poolOf();
    const answer = await pool.region(TASK);
    expect(isMeasured(answer)).toBe(true);
    expect(answer).toEqual(await run(TASK));
    const lost = { ...TASK, info: { ...TASK.info, file: 'nowhere/gone.png' } };
    await expect(pool.region(lost)).rejects.toThrow(/gone\.png/);
  });

  test('told to stop it stops, and goes on with what comes next', async () => {
    const pool = poolOf();
    const stop = new AbortController();
    const stopped = pool.region(TASK, stop.signal);
    stop.abort(new DOMException('cancelled', 'AbortError'));
    await expect(stopped).rejects.toThrow('cancelled');
    await expect(pool.region(TASK, stop.signal)).rejects.toThrow('cancelled');
    expect(isMeasured(await pool.region(TASK))).toBe(true);
  });

  test('lost in the middle, the task says so, and the next one has another process', async () => {
    const started: JobsProcess[] = [];
    const pool = poolOf((threads) => {
      const jobs = forkedJobs(threads);
      started.push(jobs);
      return jobs;
    });
    const asked = pool.region(TASK);
    started[0].kill();
    await expect(asked).rejects.toMatchObject({ code: 'worker-lost' });
    expect(isMeasured(await pool.region(TASK))).toBe(true);
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
  const other = drawn(() => ({ id: 'm', quantities: [] }));
  const pool = poolOf(() => {
    count++;
    return other.start();
  });
  expect(count).toBe(0);
  await Promise.all([pool.region(TASK), pool.region(TASK)]);
  expect(count).toBe(1);
  await pool.close();
  await pool.region(TASK);
  expect(count).toBe(2);
  pool.warm();
  expect(count).toBe(2);
  await pool.close();
  pool.warm();
  expect(count).toBe(3);
});

test('an answer of another kind is no answer', async () => {
  const other = drawn(() => ({ calibration: null }));
  await expect(poolOf(other.start).region(TASK)).rejects.toThrow(/something else/);
});

test('what was stopped is told to the other side', async () => {
  const other = drawn(() => null);
  const stop = new AbortController();
  const asked = poolOf(other.start).region(TASK, stop.signal);
  stop.abort();
  await expect(asked).rejects.toThrow('aborted');
  expect(other.orders.map((order) => ('stop' in order ? 'stop' : order.task.task))).toEqual(['region', 'stop']);
});
