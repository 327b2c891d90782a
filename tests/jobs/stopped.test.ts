/** Measuring that does not come to its end: cancelled, killed, a worker lost. What was told stays; what is left is done later. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeAll, describe, expect, test } from 'vitest';
import { Measuring } from '../../electron/jobs/measuring.ts';
import { Library } from '../../electron/library/library.ts';
import { findingsOf } from '../../electron/answers/findingsOf.ts';
import { sourceThread } from '../../electron/workerThread.ts';
import { testFolder } from '../host/folder.ts';
import { bareMeasured, heard, measured, SHORT_M, smallWork, SWAB, withRegions } from './smallWork.ts';

const folder = testFolder();
const ADDED = [SHORT_M, SWAB];
const isAdded = (id: string) => ADDED.some((region) => region.id === id);
/** Target, page and bare paper, which are measured before any of this. */
const KEPT = 3;
const bare = join(folder.path, 'bare');
beforeAll(() => bareMeasured(bare));

const open: { close(): Promise<void> | void }[] = [];
afterEach(async () => {
  for (const thing of open.splice(0).toReversed()) await thing.close();
});

function measuringOf(library: Library, options: ConstructorParameters<typeof Measuring>[1] = {}): Measuring {
  const measuring = new Measuring(library, { threads: 1, ...options });
  open.push(library, measuring);
  return measuring;
}

describe('cancelled', () => {
  test('it stops, keeps what has come, and goes on from there when asked again', async () => {
    const { library, ink } = withRegions(bare, join(folder.path, 'cancelled'), ADDED);
    const measuring = measuringOf(library);
    const { id } = measuring.start(ink);
    await heard(measuring, (e) => e.event === 'findings' && e.regions.some(isAdded));
    measuring.cancel(id);
    const stopped = (await measuring.ended(id))!;
    expect(stopped).toMatchObject({ state: 'cancelled', problem: null });
    expect(stopped.done).toBeLessThan(stopped.total);
    const { findings } = findingsOf(library, ink);
    expect(findings.length).toBeGreaterThan(0);
    const again = await measured(measuring, ink);
    expect(again).toMatchObject({ state: 'done', done: 6 });
    expect(again.kept).toBeGreaterThan(KEPT);
    expect(again.kept + again.measured).toBe(6);
  });

  test('before it has begun, nothing is measured', async () => {
    const { library, ink } = withRegions(bare, join(folder.path, 'at-once'), ADDED);
    const measuring = measuringOf(library);
    const { id } = measuring.start(ink);
    measuring.cancel(id);
    expect(await measuring.ended(id)).toMatchObject({ state: 'cancelled', measured: 0 });
  });

  test('asked again before it has stopped, it is another job that follows it', async () => {
    const { library, ink } = await smallWork(join(folder.path, 'and-again'), ['bare']);
    const measuring = measuringOf(library);
    const { id } = measuring.start(ink);
    measuring.cancel(id);
    const again = measuring.start(ink);
    expect(again.id).not.toBe(id);
    expect(measuring.jobOf(ink)?.id).toBe(again.id);
    expect(measuring.start(ink).id).toBe(again.id);
    await heard(measuring, (e) => e.event === 'job' && e.job.id === again.id && e.job.what === 'starting');
    expect(measuring.job(id)?.state).toBe('cancelled');
    measuring.cancel(again.id);
    expect(await measuring.ended(again.id)).toMatchObject({ state: 'cancelled' });
  });
});

test('killed in the middle, nothing that was told is lost', async () => {
  const place = join(folder.path, 'killed');
  const { library, ink } = withRegions(bare, place, ADDED);
  library.close();
  const child = spawn(
    process.execPath,
    [
      '--import',
      'tsx',
      fileURLToPath(new URL('./measureUntilKilled.ts', import.meta.url)),
      place,
      ADDED.map(({ id }) => id).join(),
    ],
    {
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  );
  const [told]: Buffer[] = await once(child.stdout, 'data');
  child.kill('SIGKILL');
  await once(child, 'close');
  const regions = told.toString().trim().split('\n')[0].split(',');
  const reopened = Library.open(place);
  const measuring = measuringOf(reopened);
  const kept = findingsOf(reopened, ink).findings;
  for (const id of regions) expect(kept.some((f) => f.current && f.finding.subject.regions[0] === id)).toBe(true);
  const job = await measured(measuring, ink);
  expect(job).toMatchObject({ state: 'done', done: 6 });
  expect(job.kept).toBeGreaterThanOrEqual(KEPT + regions.filter(isAdded).length);
});

test('a worker that dies costs the region it was at; the next time all is measured', async () => {
  const { library, ink } = withRegions(bare, join(folder.path, 'crashed'), ADDED);
  const crashing = sourceThread(new URL('./crashingWorker.ts', import.meta.url).href);
  const first = measuringOf(library, { threads: 1, thread: crashing });
  expect(await measured(first, ink)).toMatchObject({ state: 'done' });
  const { problems, findings } = findingsOf(library, ink);
  expect(problems.map((p) => p.region)).toEqual(['swab']);
  expect(problems[0].message).toMatch(/^its work ended without an answer .*; measure again$/);
  expect(findings.some((f) => f.key === 'shading(m)')).toBe(true);
  await first.close();
  expect(await measured(measuringOf(library), ink)).toMatchObject({ state: 'done', measured: 2, kept: 4 });
  expect(findingsOf(library, ink).problems).toEqual([]);
});
