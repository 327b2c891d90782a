/** Measuring through the backend: progress and findings as they come, what was measured, what is taken away. */
import { EventSourceParserStream } from 'eventsource-parser/stream';
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import type { FindingsReport, Job, RegionDetail, SheetRegion, WindowEvent, Work } from '../../electron/backend/api.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { backendBench, drawSwab, problemIn, valueIn } from './backendBench.ts';
import { unzipped } from './unzipped.ts';

const bench = backendBench();
const heard: WindowEvent[] = [];
let ink: number;
let job: Job;
let accepted: number;

const regions: readonly SheetRegion[] = [
  { id: 'bare', scan: 'white', kind: 'paper', boxMm: [0.5, 0.5, 8, 18] },
  { id: 'swab', scan: 'white', kind: 'swab', boxMm: [8, 2, 16, 14], nib: 'broad "B"' },
];

async function listen(into: WindowEvent[]): Promise<() => Promise<void>> {
  const { body } = await bench.ask('/api/events');
  if (!body) throw new Error('no events');
  const reader = body.pipeThrough(new TextDecoderStream()).pipeThrough(new EventSourceParserStream()).getReader();
  const reading = (async () => {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) return;
      const event: WindowEvent = JSON.parse(value.data);
      into.push(event);
    }
  })();
  return async () => {
    await reader.cancel();
    await reading;
  };
}

async function ended(id: string): Promise<Job> {
  await bench.host.measuring.ended(id);
  return bench.get<Job>(`/api/jobs/${id}`);
}

beforeAll(async () => {
  const stop = await listen(heard);
  ink = (await bench.inkWith({ 'white.png': drawSwab() })).ink.id;
  for (const region of regions) await bench.posted(`/api/inks/${ink}/edits`, { edit: { edit: 'addRegion', region } });
  const started = await bench.post(`/api/inks/${ink}/measure`);
  accepted = started.status;
  job = await ended((await valueIn<Job>(started)).id);
  await stop();
});

test('the job is told as it goes and can be asked for', () => {
  expect(accepted).toBe(202);
  expect(job).toMatchObject({ ink, state: 'done', problem: null });
  expect(job.measured).toBeGreaterThan(0);
  const jobs = heard.flatMap((e) => (e.event === 'job' ? [e.job] : []));
  expect(jobs.at(-1)).toEqual(job);
  expect(jobs.every((j) => j.id === job.id && j.done <= j.total)).toBe(true);
});

test('changes of the work and of the shelf, and findings, are told', () => {
  const revisions = heard.flatMap((e) => (e.event === 'work' && e.ink === ink ? [e.revision] : []));
  expect(revisions.length).toBeGreaterThanOrEqual(3);
  expect(revisions).toEqual(revisions.toSorted((a, b) => a - b));
  expect(heard).toContainEqual({ event: 'shelf' });
  expect(new Set(heard.flatMap((e) => (e.event === 'findings' ? e.regions : [])))).toEqual(new Set(['bare', 'swab']));
});

test('a window that is closed is told nothing more', async () => {
  const late: WindowEvent[] = [];
  const stop = await listen(late);
  await stop();
  const { ink: other } = await bench.posted<Work>('/api/inks', { name: 'Other' });
  await bench.ask(`/api/inks/${other.id}`, { method: 'DELETE' });
  expect(late).toEqual([]);
});

test('findings: every one with its uncertainty, method, and where it comes from', async () => {
  const report = await bench.get<FindingsReport>(`/api/inks/${ink}/findings`);
  const { hash } = (await bench.get<Work>(`/api/inks/${ink}`)).scans[0];
  const colour = report.findings.find(({ key }) => key === 'inkColour(swab)');
  expect(colour).toMatchObject({ current: true, trace: { scans: [{ id: 'white', hash }], calibration: null } });
  expect(colour?.finding.flags).toContain('uncalibrated');
  expect(report.measuredAt).toMatch(/^\d{4}-\d\d-\d\dT/);
  const work = await bench.get<Work>(`/api/inks/${ink}`);
  expect(work.regions.map((r) => r.measured)).toEqual(['current', 'current']);
  expect(work.ink.findings).toBe(report.findings.length);
});

test('measured again, nothing is done anew', async () => {
  const again = await ended((await bench.posted<Job>(`/api/inks/${ink}/measure`)).id);
  expect(again).toMatchObject({ state: 'done', measured: 0 });
  expect(again.kept).toBeGreaterThan(0);
});

test('a region for overlays and plots', async () => {
  const detail = await bench.get<RegionDetail>(`/api/inks/${ink}/regions/swab/detail`);
  expect(detail).toMatchObject({ region: 'swab', scan: 'white', boxPx: [80, 20, 160, 140], marks: true, strip: null });
  expect(detail.ink?.lab[0]).toBeLessThan(40);
  // Its scan is not calibrated: far from sure.
  expect(detail.doubt?.dark?.every((u) => u > 2 && u < 20)).toBe(true);
  const answer = await bench.ask(`/api/inks/${ink}/regions/swab/marks`);
  const marks = new Uint8Array(await answer.arrayBuffer());
  expect([answer.headers.get('x-columns'), answer.headers.get('x-rows')]).toEqual(['160', '140']);
  expect(marks).toHaveLength(160 * 140);
  expect(marks[0]).toBe(0);
  expect(marks[70 * 160 + 80]).toBeGreaterThan(1);
});

describe('taken away', () => {
  test('as CSV', async () => {
    const answer = await bench.ask(`/api/inks/${ink}/findings.csv`);
    expect(answer.headers.get('content-type')).toBe('text/csv; charset=utf-8');
    expect(answer.headers.get('content-disposition')).toBe(
      `attachment; filename="Harbour Night findings.csv"; filename*=UTF-8''Harbour%20Night%20findings.csv`,
    );
    // With the mark by which spreadsheets know UTF-8.
    const text = Buffer.from(await answer.arrayBuffer()).toString('utf8');
    const lines = text.trimEnd().split('\n');
    expect(lines[0]).toBe('\uFEFFquantity,regions,band,on,value,L,a,b,unit,u,uL,ua,ub,verdict,flags,method,stale');
    expect(lines.some((line) => /^inkColour,swab,.*,$/.test(line))).toBe(true);
    const byMap = await bench.ask(`/api/inks/${ink}/findings.csv?by=map`);
    expect((await byMap.text()).split('\n')).toHaveLength(lines.length + 1);
  });

  test('as a sheet', async () => {
    const answer = await bench.ask(`/api/inks/${ink}/sheet.json`);
    expect(answer.headers.get('content-disposition')).toContain('filename="sheet.json"');
    expect(await answer.json()).toMatchObject({
      format: 'wetline-sheet/1',
      ink: { name: 'Harbour Night' },
      scans: [{ id: 'white', file: 'white.png' }],
      regions,
    });
  });

  test('as one zip that the command line measures as it is, the scan in it bit by bit', async () => {
    const answer = await bench.ask(`/api/inks/${ink}/sheet.zip`);
    expect(answer.headers.get('content-type')).toBe('application/zip');
    const zip = Buffer.from(await answer.arrayBuffer());
    expect(Number(answer.headers.get('content-length'))).toBe(zip.length);
    const files = unzipped(zip);
    expect([...files.keys()]).toEqual(['sheet.json', 'white.png']);
    expect(files.get('white.png')).toEqual(drawSwab());
    const folder = join(bench.folder, 'unpacked');
    for (const [name, bytes] of files) {
      mkdirSync(dirname(join(folder, name)), { recursive: true });
      writeFileSync(join(folder, name), bytes);
    }
    const loaded = await loadSheet(folder);
    expect(loaded.regions.map(({ id }) => id)).toEqual(['bare', 'swab']);
  });

  test('but not with a scan whose file is gone', async () => {
    const gone = backendBench();
    const work = await gone.inkWith({ 'white.png': drawSwab() });
    const path = gone.host.library.file(work.scans[0].hash)?.path ?? '';
    expect((await gone.ask(`/api/inks/${work.ink.id}/sheet.zip`)).status).toBe(200);
    rmSync(path);
    const problem = await problemIn(await gone.ask(`/api/inks/${work.ink.id}/sheet.zip`));
    expect(problem).toMatchObject({ status: 404, message: expect.stringMatching(/^white\.png: .* is gone/) });
    const tile = await gone.ask(`/api/inks/${work.ink.id}/scans/white/overview/${work.scans[0].colours.key}`);
    expect(await problemIn(tile)).toMatchObject({ status: 404, message: expect.stringMatching(/^white\.png: .*gone/) });
  });
});

describe('not there, in a line', () => {
  test.each<[string, () => string, string, RegExp]>([
    ['a job that never was', () => '/api/jobs/none', 'GET', /No measuring “none” .* Measure again/],
    ['the same to be cancelled', () => '/api/jobs/none', 'DELETE', /No measuring/],
    ['an ink to be measured', () => '/api/inks/77/measure', 'POST', /77/],
    ['a region that was never measured', () => `/api/inks/${ink}/regions/ef/detail`, 'GET', /“ef”: not measured/],
    ['its marks', () => `/api/inks/${ink}/regions/ef/marks`, 'GET', /“ef”: not measured/],
    ['a target', () => `/api/inks/${ink}/targets/white`, 'GET', /./],
  ])('%s', async (_, path, method, words) => {
    const problem = await problemIn(await bench.ask(path(), { method }));
    expect(problem).toMatchObject({ status: 404, message: expect.stringMatching(words) });
    expect(problem.message).not.toContain('\n');
  });
});

test('a job is cancelled and says so', async () => {
  const { ink: other } = await bench.inkWith({ 'white.png': drawSwab(800, 600) });
  const region: SheetRegion = { id: 'all', scan: 'white', kind: 'swab', boxMm: [1, 1, 60, 50] };
  await bench.posted(`/api/inks/${other.id}/edits`, { edit: { edit: 'addRegion', region } });
  const { id } = await bench.posted<Job>(`/api/inks/${other.id}/measure`);
  expect((await bench.ask(`/api/jobs/${id}`, { method: 'DELETE' })).status).toBe(200);
  expect(await ended(id)).toMatchObject({ state: 'cancelled', problem: null });
});
