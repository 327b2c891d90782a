/** Measuring for the window, on a part of the sample: what is measured again and what is not, and what the window is told. */
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { INK_MARKS } from '../../analysis/measure/ink.ts';
import type { Job, WindowEvent, Work } from '../../electron/backend/api.ts';
import { Measuring } from '../../electron/jobs/measuring.ts';
import { bytesOnce } from '../../electron/library/builtInFiles.ts';
import type { DocumentTarget } from '../../electron/library/document.ts';
import { Library } from '../../electron/library/library.ts';
import { findingsOf } from '../../electron/answers/findingsOf.ts';
import { regionDetail, regionMarks } from '../../electron/answers/regionDetail.ts';
import { ShelfCards } from '../../electron/answers/shelfCards.ts';
import { targetView } from '../../electron/answers/targetView.ts';
import { viewScan } from '../../electron/answers/viewScan.ts';
import { workOf } from '../../electron/answers/workOf.ts';
import { testFolder } from '../host/folder.ts';
import { M_AS_EF, measured, REGIONS, smallWork } from './smallWork.ts';

const folder = testFolder();
const place = join(folder.path, 'library');
let library: Library;
let measuring: Measuring;
let ink: number;
let before: Work;
let first: Job;
/** The job's id as a second asking was told it. */
let joined: string;
const events: WindowEvent[] = [];

beforeAll(async () => {
  ({ library, ink } = await smallWork(place));
  measuring = new Measuring(library);
  before = workOf(library, measuring, ink);
  measuring.onEvent((event) => events.push(event));
  const { id } = measuring.start(ink);
  joined = measuring.start(ink).id;
  first = (await measuring.ended(id))!;
}, 120_000);

afterAll(async () => {
  await measuring.close();
  library.close();
});

const states = () => Object.fromEntries(workOf(library, measuring, ink).regions.map((r) => [r.region.id, r.measured]));
const keysThatAre = (current: boolean) =>
  findingsOf(library, ink)
    .findings.filter((f) => f.current === current)
    .map((f) => f.key);

test('before, all is ready and nothing is measured', () => {
  expect(before.ink.stages).toEqual({ scans: 'done', findings: 'not-yet' });
  expect(before.regions.every((r) => r.measured === 'never')).toBe(true);
  expect(before.scans[0].colours.words).toBe('colours through the calibration, which is being made');
});

describe('the first time', () => {
  test('who asks twice joins the same job', () => {
    expect(joined).toBe(first.id);
  });

  test('everything is measured, and told as it comes', () => {
    expect(first).toMatchObject({ state: 'done', done: 8, total: 8, measured: 8, kept: 0, problem: null });
    const told = events.flatMap((e) => (e.event === 'findings' ? e.regions : []));
    expect(told.toSorted()).toEqual(REGIONS.map((r) => r.id).toSorted());
    const jobs = events.flatMap((e) => (e.event === 'job' ? [e.job] : []));
    expect(jobs.at(-1)?.state).toBe('done');
    jobs.slice(1).forEach((job, k) => expect(job.done).toBeGreaterThanOrEqual(jobs[k].done));
  });

  test('every finding is current and says where it comes from', () => {
    const { findings, problems, calibrations } = findingsOf(library, ink);
    expect(problems).toEqual([]);
    expect(findings.every((f) => f.current)).toBe(true);
    expect(findings.map((f) => f.key)).toContain('nibShading(ef,m)');
    const [calibration] = calibrations;
    expect(calibration).toMatchObject({ scan: 'card', judgement: 'good' });
    const shading = findings.find((f) => f.key === 'shading(ef)')!;
    const { hash } = library.document(ink).scans[0];
    expect(shading.trace.scans).toEqual([{ id: 'yellow', hash }]);
    expect(shading.trace.calibration).toBe(calibration.key);
  });

  test('the card says how far the ink has come', async () => {
    const [card] = (await new ShelfCards(library, measuring).shelf()).inks;
    expect(card).toMatchObject({ scans: 3, regions: 5, attention: '', stages: { scans: 'done', findings: 'done' } });
    expect(card.swatches).toHaveLength(3);
    expect(card.swatches.map((s) => s[0])).toEqual(card.swatches.map((s) => s[0]).toSorted((a, b) => b - a));
  });

  test('without a region there are no findings yet, as the page of findings says', () => {
    library.edit(ink, { edit: 'removeRegions', ids: REGIONS.map(({ id }) => id) });
    const { stages } = workOf(library, measuring, ink).ink;
    library.undo(ink);
    expect(stages.findings).toBe('not-yet');
    expect(workOf(library, measuring, ink).ink.stages.findings).toBe('done');
  });
});

describe('what pictures and plots need', () => {
  test('dark, light and the lightness between, of exactly the counted pixels', async () => {
    const detail = (await regionDetail(library, ink, 'ef'))!;
    expect(detail).toMatchObject({
      region: 'ef',
      scan: 'yellow',
      boxPx: [60, 90, 1125, 266],
      marks: true,
      strip: null,
    });
    const { dark, light, lightness } = detail.ink!;
    const marks = (await regionMarks(library, ink, 'ef'))!;
    expect([marks.columns, marks.rows, marks.data.length]).toEqual([1125, 266, 1125 * 266]);
    const counted = marks.data.filter((m) => m === INK_MARKS.counted || m === INK_MARKS.dark || m === INK_MARKS.light);
    expect(lightness.counts.reduce((a, b) => a + b)).toBe(counted.length);
    expect(dark[0]).toBeLessThan(light[0]);
    // The mean colours stand for the 10th and the 90th percentile of the histogram.
    const below = (L: number) =>
      lightness.counts.reduce((sum, n, k) => (lightness.firstL + (k + 1) * lightness.stepL <= L ? sum + n : sum), 0) /
      counted.length;
    expect(below(dark[0])).toBeGreaterThan(0.05);
    expect(below(dark[0])).toBeLessThan(0.15);
    expect(below(light[0])).toBeGreaterThan(0.85);
    expect(below(light[0])).toBeLessThan(0.95);
  });

  test('a strip’s profile with its bands, each as wide as its bandWidth says', async () => {
    const strip = (await regionDetail(library, ink, 'run'))!.strip!;
    expect(strip).toMatchObject({ travel: 'up', originMm: 88.3, frontMm: 18 });
    expect(strip.placesMm).toEqual(strip.placesMm.toSorted((a, b) => a - b));
    for (const curve of [...strip.absorbance, ...strip.fitted, strip.lab]) {
      expect(curve).toHaveLength(strip.placesMm.length);
    }
    expect(strip.bands.length).toBeGreaterThan(1);
    const { findings } = findingsOf(library, ink);
    for (const band of strip.bands) {
      expect(band.fromMm).toBeLessThan(band.centreMm);
      expect(band.toMm).toBeGreaterThan(band.centreMm);
      const width = findings.find((f) => f.key === `bandWidth(run)#${band.band}`)!.finding.value;
      expect(band.toMm - band.fromMm).toBeCloseTo(Number(width), 9);
    }
    expect(await regionMarks(library, ink, 'run')).toBeNull();
  });

  test('the target’s patches lie within its points', async () => {
    const view = await targetView(library, measuring, ink, 'card');
    expect(view).toMatchObject({ scan: 'card', found: true, judgement: 'good' });
    expect(view.words).toMatch(/^Good: /);
    const xs = view.pointsPx.map((p) => p[0]);
    for (const { cornersPx } of view.patches) {
      for (const [x] of cornersPx) {
        expect(x).toBeGreaterThan(Math.min(...xs));
        expect(x).toBeLessThan(Math.max(...xs));
      }
    }
    await expect(targetView(library, measuring, ink, 'yellow')).rejects.toMatchObject({ code: 'no-target' });
  });

  test('a scan’s colours are those that its address names', async () => {
    const { colours } = workOf(library, measuring, ink).scans[0];
    expect(colours.words).toBe('colours through the calibration (good, left out 0.6 ΔE00)');
    const view = await viewScan(library, measuring, ink, 'yellow', colours.key);
    expect(view.colours).toMatchObject({ by: 'calibration', key: colours.key });
    await expect(viewScan(library, measuring, ink, 'yellow', 'c0')).rejects.toMatchObject({ code: 'colours-changed' });
    await expect(viewScan(library, measuring, ink, 'blue', null)).rejects.toMatchObject({ code: 'no-such-scan' });
  });
});

describe('again', () => {
  test('nothing is measured twice, and no date changes', async () => {
    const before = findingsOf(library, ink).findings;
    expect(await measured(measuring, ink)).toMatchObject({ state: 'done', measured: 0, kept: 8, done: 8 });
    expect(findingsOf(library, ink).findings).toEqual(before);
  });

  test('nor after the program was closed and opened', async () => {
    const before = findingsOf(library, ink).findings;
    await measuring.close();
    library.close();
    library = Library.open(place);
    measuring = new Measuring(library);
    expect(keysThatAre(false)).toEqual([]);
    expect(await measured(measuring, ink)).toMatchObject({ measured: 0, kept: 8 });
    expect(findingsOf(library, ink).findings).toEqual(before);
  });

  test('nor after the ink got another name', async () => {
    library.edit(ink, { edit: 'changeInk', name: 'Curlew Noon', maker: null });
    expect(keysThatAre(false)).toEqual([]);
    expect(await measured(measuring, ink)).toMatchObject({ measured: 0 });
  });
});

describe('a region that moves', () => {
  test('is stale, with what compares it, and alone is measured again', async () => {
    const strip = REGIONS[4];
    library.edit(ink, { edit: 'changeRegion', id: 'run', region: { ...strip, boxMm: [4.5, 5.3, 18.4, 101.3] } });
    expect(states()).toEqual({ bare: 'current', ef: 'current', m: 'current', swab: 'current', run: 'stale' });
    expect(keysThatAre(false).every((key) => key.includes('(run)'))).toBe(true);
    expect(workOf(library, measuring, ink).ink).toMatchObject({
      stages: { findings: 'attention' },
      attention: '1 region has changed since it was measured; measure again',
    });
    expect((await regionDetail(library, ink, 'run'))!.boxPx[0]).toBe(51);
    expect(await measured(measuring, ink)).toMatchObject({ measured: 1, kept: 7 });
    expect(keysThatAre(false)).toEqual([]);
    expect((await regionDetail(library, ink, 'run'))!.boxPx[0]).toBe(53);
  });

  test('among others on its paper asks for what lies beside it only if the paper was judged by it', async () => {
    library.edit(ink, { edit: 'changeRegion', id: 'swab', region: { ...REGIONS[3], boxMm: [8, 95, 33, 15] } });
    expect(states()).toMatchObject({ swab: 'stale', ef: 'current', bare: 'current' });
    expect(await measured(measuring, ink)).toMatchObject({ measured: 2, kept: 6 });
  });

  test('back by undo is as it was, without measuring', async () => {
    library.undo(ink);
    expect(states()).toMatchObject({ swab: 'stale' });
    expect(await measured(measuring, ink)).toMatchObject({ measured: 0 });
    expect(states()).toMatchObject({ swab: 'current' });
  });
});

test('another nib’s name changes no number, but which are compared', async () => {
  library.edit(ink, { edit: 'changeRegion', id: 'm', region: M_AS_EF });
  expect(keysThatAre(false)).toEqual(['nibShading(ef,m)']);
  expect(workOf(library, measuring, ink).ink.attention).toMatch(/older than the regions; measure again/);
  expect(await measured(measuring, ink)).toMatchObject({ measured: 1 });
  expect(findingsOf(library, ink).findings.map((f) => f.key)).not.toContain('nibShading(ef,m)');
  library.undo(ink);
});

test('a removed region takes its findings away, and undo brings them back', () => {
  library.edit(ink, { edit: 'removeRegions', ids: ['swab'] });
  expect(findingsOf(library, ink).findings.some((f) => f.key.includes('swab'))).toBe(false);
  library.undo(ink);
  expect(keysThatAre(true)).toContain('swabVariation(swab)');
});

test('work that changes while it is measured is measured as it is then', async () => {
  const running = measuring.start(ink);
  library.edit(ink, { edit: 'changeRegion', id: 'swab', region: { ...REGIONS[3], boxMm: [9, 95, 33, 15] } });
  expect(measuring.start(ink).id).toBe(running.id);
  expect((await measuring.ended(running.id))?.state).toBe('done');
  expect(keysThatAre(false)).toEqual([]);
  library.undo(ink);
});

/** The strip gets a target of its own, said to lie at these points of the card's scan. */
function serveStripAt(pointsMm: NonNullable<DocumentTarget['pointsMm']>): void {
  const target = { ...library.document(ink).target!, pointsMm };
  library.edit(ink, { edit: 'setTarget', serves: 'strip', target });
}

test('a poor calibration is used, flagged, and asks for attention', async () => {
  const before = workOf(library, measuring, ink).scans.map((s) => s.colours.key);
  // Values of another print: every second colour redder, the others greener.
  const { reference, ...rest } = library.document(ink).target!;
  const other = library
    .text(reference)
    .replaceAll(
      /^(C\d)(\d)\t(\S+)\t(\S+)/gm,
      (_, c: string, n: string, L: string, a: string) =>
        `${c}${n}\t${L}\t${Number(a) + (Number(n) % 2 === 1 ? 6 : -6)}`,
    );
  const { hash } = await library.addFile(bytesOnce(new TextEncoder().encode(other)), 'other-print.txt');
  library.edit(ink, { edit: 'setTarget', serves: 'strip', target: { ...rest, reference: hash } });
  const [yellow, strip] = workOf(library, measuring, ink).scans.map((s) => s.colours.key);
  expect(yellow).toBe(before[0]);
  expect(strip).not.toBe(before[1]);
  expect(await measured(measuring, ink)).toMatchObject({ state: 'done', measured: 2 });
  const { findings, problems } = findingsOf(library, ink);
  expect(problems).toEqual([]);
  expect(findings.find((f) => f.key === 'bandColour(run)#1')!.finding.flags).toContain('poor-calibration');
  expect(findings.find((f) => f.key === 'shading(ef)')!.finding.flags).not.toContain('poor-calibration');
  const { ink: card } = workOf(library, measuring, ink);
  expect(card.stages.scans).toBe('attention');
  expect(card.attention).toBe('the calibration by the target in scan “card” is poor');
  library.undo(ink);
  expect(await measured(measuring, ink)).toMatchObject({ measured: 0 });
});

test('a target that cannot be used costs its own scans only, in words', async () => {
  serveStripAt([[2, 2], [5, 2], [5, 4], [2, 4]]); // prettier-ignore
  expect(states()).toMatchObject({ run: 'stale', ef: 'current' });
  expect(await measured(measuring, ink)).toMatchObject({ state: 'done', problem: null });
  const { findings, problems } = findingsOf(library, ink);
  expect(problems).toEqual([{ region: 'run', message: expect.stringMatching(/target|patch/i) }]);
  expect(problems[0].message).not.toContain(place);
  expect(findings.some((f) => f.key === 'shading(ef)' && f.current)).toBe(true);
  const work = workOf(library, measuring, ink);
  const strip = work.scans.find((s) => s.id === 'strip')!;
  expect(strip.problem).toBe(problems[0].message);
  expect(strip.colours.by).toBe('assumed-srgb');
  expect(work.ink.stages.scans).toBe('attention');
  expect(await measuring.calibrate(ink, 'strip')).toEqual({ code: 'patches-too-small', problem: problems[0].message });
  expect((await viewScan(library, measuring, ink, 'strip', null)).colours.by).toBe('assumed-srgb');
  library.undo(ink);
  expect(await measured(measuring, ink)).toMatchObject({ measured: 0 });
});
