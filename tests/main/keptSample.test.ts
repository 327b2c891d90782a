/** What the first start shows at once is what measuring the sample gives now. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import type { Quantity } from '../../analysis/quantity.ts';
import { readKeptMeasuring } from '../../electron/jobs/keptMeasuring.ts';
import { unpack } from '../../electron/jobs/packed.ts';
import { WorkerPool } from '../../electron/jobs/pool.ts';
import type { Task, TaskRunner } from '../../electron/jobs/tasks.ts';
import { KEPT_FILE, measureSample } from '../../sample-scans/measureSample.ts';
import { testFolder } from '../host/folder.ts';

const AGAIN = 'sample-scans/measured.json is not what measuring the sample gives now: npm run samples-measured';
const GOLDEN = join(import.meta.dirname, 'sample-findings.json');
const folder = testFolder();
const pool = new WorkerPool();
afterAll(() => pool.close());

test('what is kept of the sample is what is measured now', async () => {
  const found = readKeptMeasuring(KEPT_FILE);
  expect(found, AGAIN).toMatchObject({ isWhole: true });
  const kept = new Map(found?.results.map(({ key, bytes }) => [key, bytes]));
  const tasks: (readonly [key: string, task: Task])[] = [];
  const { findings, problems } = await measureSample({
    folder: join(folder.path, 'library'),
    store: { recall: (key) => kept.get(key) ?? null, remember: () => {} },
    runner: { calibrate: unknown, paper: unknown, region: unknown, film: unknown, overlay: unknown },
    onResult: (task, key) => void tasks.push([key, task]),
  }).catch((error: unknown) => ({ findings: [], problems: [String(error)] }));
  expect(problems, AGAIN).toEqual([]);
  expect(tasks.map(([key]) => key).toSorted(), AGAIN).toEqual([...kept.keys()].toSorted());

  // All its figures, against those that the command line is held to (sampleScans.test.ts).
  const golden: { findings: readonly Quantity[] } = JSON.parse(readFileSync(GOLDEN, 'utf8'));
  expect(inSixDigits(findings), AGAIN).toEqual(inSixDigits(golden.findings));

  // What is kept beside figures, of one task of each sort: from the same inputs, so that another machine's last digit does not run on from task to task.
  const sorts = new Map(tasks.map((one) => [sortOf(one[1]), one]));
  expect(sorts.size).toBe(7);
  const differing = await Promise.all(
    [...sorts].map(async ([name, [key, task]]) => {
      return differences(await unpack(kept.get(key) ?? new Uint8Array()), await carriedOut(pool, task), name);
    }),
  );
  expect(differing.flat().slice(0, 5), AGAIN).toEqual([]);
}, 240_000);

function sortOf(task: Task): string {
  return task.task === 'region' ? `region of ${task.measure.kind}` : task.task;
}

/** In the order of their words. */
function inSixDigits(findings: readonly Quantity[]): string[] {
  const digits = (_: string, value: unknown) => (typeof value === 'number' ? Number(value.toPrecision(6)) : value);
  return findings.map((finding) => JSON.stringify(finding, digits)).toSorted();
}

function unknown(task: Task): Promise<never> {
  return Promise.reject(new Error(`nothing is kept of the task "${task.task}"`));
}

function carriedOut(runner: TaskRunner, task: Task): Promise<unknown> {
  switch (task.task) {
    case 'calibrate':
      return runner.calibrate(task);
    case 'paper':
      return runner.paper(task);
    case 'region':
      return runner.region(task);
    case 'film':
      return runner.film(task);
    case 'overlay':
      return runner.overlay(task);
  }
}

/** Paths at which two results differ, numbers by more than a millionth of their size. */
function differences(found: unknown, made: unknown, path: string): string[] {
  if (typeof found === 'number' && typeof made === 'number') {
    const same = Object.is(found, made) || Math.abs(found - made) <= 1e-6 * Math.max(1, Math.abs(made));
    return same ? [] : [`${path}: ${found}, now ${made}`];
  }
  if (typeof made !== 'object' || made === null || typeof found !== 'object' || found === null) {
    return found === made ? [] : [path];
  }
  // Masks, in one look: hundreds of thousands of pixels.
  if (found instanceof Uint8Array && made instanceof Uint8Array && Buffer.compare(found, made) === 0) return [];
  const [other, own] = [entriesOf(found), entriesOf(made)];
  if (other.length !== own.length) return [`${path}: ${other.length} entries, now ${own.length}`];
  return own.flatMap(([key, value], i) =>
    other[i][0] === key ? differences(other[i][1], value, `${path}/${key}`) : [`${path}/${key}`],
  );
}

function entriesOf(value: object): [string, unknown][] {
  return Object.entries(value instanceof Map ? [...value] : value);
}
