/** The film fit within the window's job: what is gathered for it, what its findings depend on, what stays of a job that was stopped. */
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { measureFilm } from '../../analysis/measure/film/measureFilm.ts';
import type { Flag } from '../../analysis/quantity.ts';
import { WAVELENGTHS_NM } from '../../analysis/film/grid.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import type { Job } from '../../electron/backend/api.ts';
import { filmOf } from '../../electron/answers/filmOf.ts';
import { opacityInJson, opacityOf, predictionOf } from '../../electron/answers/opacityOf.ts';
import { findingsOf } from '../../electron/answers/findingsOf.ts';
import { workOf } from '../../electron/answers/workOf.ts';
import { filmTargets, filmTask, withFilms } from '../../electron/jobs/filmTasks.ts';
import { measureWith } from '../../electron/jobs/measureSheet.ts';
import { rememberFilms } from '../../electron/jobs/keptFilms.ts';
import { Measuring } from '../../electron/jobs/measuring.ts';
import type { FilmTask, OverlayTask, RegionResult, TaskRunner } from '../../electron/jobs/tasks.ts';
import type { SavedFinding } from '../../electron/library/results.ts';
import type { Library } from '../../electron/library/library.ts';
import type { LoadedSheet, LoadedTarget } from '../../electron/sheet/loadedSheet.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import type { ScanInfo } from '../../electron/scans/scanInfo.ts';
import { filmWorld } from '../../study/filmWorlds.ts';
import { drawInk, drawPaper } from '../../study/simulatedColours.ts';
import { testFolder } from '../host/folder.ts';
import { putFiles, soundSheet } from '../host/smallSheet.ts';
import { filmBench } from '../measure/filmBench.ts';
import { M_AS_EF, measured, REGIONS, smallWork } from './smallWork.ts';

const folder = testFolder();
const world = filmWorld(211);
const k = WAVELENGTHS_NM.map((nm) => 0.01 + Math.exp(-(((nm - 600) / 42) ** 2) / 2));
const bench = filmBench(
  world,
  drawInk(
    k.map((v) => v / Math.max(...k)),
    seededRandom(3),
  ),
  [drawPaper('cream', seededRandom(6))],
  [
    { id: 'ef', paper: 0, doses: [0.6, 0.75] },
    { id: 'm', paper: 0, doses: [1.3, 1.6] },
    { id: 'swab', paper: 0, doses: [0.12, 0.25, 0.45, 0.8, 1.2, 1.7, 2.2], kind: 'swab' },
  ],
);
const INFO: ScanInfo = {
  file: 'card.tif',
  format: 'tiff',
  widthPx: 100,
  heightPx: 100,
  bits: 8,
  channels: 3,
  dpi: 300,
  icc: null,
  iccHash: null,
  pages: 1,
  orientation: 1,
  notes: [],
};
const SAMPLES = ['bare', 'ef', 'm', 'swab'];

/** @param placement in L*; a box elsewhere gives another one */
function resultOf(id: string, placement = 0): RegionResult {
  const region = bench.input.regions.find(({ ink }) => ink.region === id);
  const quantities = bench.input.findings.filter(({ subject }) => subject.regions.join() === id);
  return {
    id,
    quantities,
    ink: region ? { ...region.ink, placement: [placement, 0, 0] } : null,
    marks: null,
    spread: null,
    doses: region?.doses ?? null,
    strip: null,
  };
}

/** Regions as the bench has them, whatever is in the files; the fit itself is the real one. */
function poolWith(film: TaskRunner['film']) {
  const runner: TaskRunner = {
    calibrate: () =>
      Promise.resolve({
        calibration: world.calibration,
        pointsPx: [],
        located: { by: 'grid', score: 1, words: 'by its patches' },
        scannerBlurMm: null,
      }),
    paper: () => Promise.resolve({ paper: null, bare: null }),
    region: ({ id, boxPx }) => Promise.resolve(resultOf(id, boxPx[1] * 1e-6)),
    film,
    overlay: () => Promise.reject(new Error('no pictures here')),
  };
  return () => ({
    ...runner,
    teach: () => Promise.reject(new Error('nothing is taught here')),
    straight: () => Promise.reject(new Error('no strips here')),
    propose: () => Promise.reject(new Error('no strips here')),
    dyesAlong: () => Promise.reject(new Error('no strips here')),
    dyesOver: () => Promise.reject(new Error('no strips here')),
    close: () => Promise.resolve(),
  });
}
const fitted = (task: FilmTask) =>
  Promise.resolve(measureFilm({ ...task, taught: { sensors: world.sensors.spectra, by: 'spectra' } }));

describe('an ink that can be fitted', () => {
  let library: Library;
  let ink: number;
  let measuring: Measuring;
  let first: Job;
  beforeAll(async () => {
    ({ library, ink } = await smallWork(join(folder.path, 'fitted'), SAMPLES));
    measuring = new Measuring(library, { pool: poolWith(fitted) });
    first = await measured(measuring, ink);
  }, 120_000);
  afterAll(async () => {
    await measuring.close();
    library.close();
  });
  const found = (key: string) => findingsOf(library, ink).findings.find((one) => one.key === key)!;
  const states = () =>
    Object.fromEntries(workOf(library, measuring, ink).regions.map((one) => [one.region.id, one.measured]));

  test('is told through the film, and each number says what it was fitted with', () => {
    expect(first).toMatchObject({ state: 'done', problem: null, measured: 7 });
    expect(found('inkColour(ef)').finding.method).toBe('inkColour-film/15');
    expect(found('inkColour(ef)').trace.fittedWith?.map(({ region }) => region)).toEqual(['m', 'swab']);
    expect(found('absorption(ef,m,swab)').trace.fittedWith).toEqual([]);
    expect(findingsOf(library, ink).findings.every(({ current }) => current)).toBe(true);
    expect(workOf(library, measuring, ink).job?.what).toBe('done');
  });

  test('and so is the window: curves by paper, every dose that was seen, both ways side by side', () => {
    const { fits, missing } = filmOf(library, ink);
    expect(missing).toEqual([]);
    expect(fits).toHaveLength(1);
    const [{ curves, points, absorption, ...fit }] = fits;
    expect(fit).toMatchObject({ regions: ['ef', 'm', 'swab'], taughtBy: 'spectra', advice: null });
    expect(fit.quality).toMatchObject({ verdict: 'fits', misfits: [] });
    expect(absorption.k).toHaveLength(absorption.nm.length);
    expect(curves).toMatchObject([{ paper: 'yellow, dyed', scan: 'yellow' }]);
    const [{ doses, lab, u, seen }] = curves;
    expect([lab.length, u.length]).toEqual([doses.length, doses.length]);
    expect(seen[1] / seen[0]).toBeGreaterThan(10);
    expect([doses[0] < seen[0], doses[doses.length - 1] > seen[1]]).toEqual([true, true]);
    expect(points.map(({ region }) => region).join(' ')).toBe('ef ef m m swab swab swab swab swab swab swab');
    for (const { byMap, misfit, paper } of points) {
      expect([byMap.length, paper]).toEqual([3, 'yellow, dyed']);
      expect(misfit).toBeLessThan(2);
    }
    // The dose in the middle is 1.
    expect(points.map(({ dose }) => dose).toSorted((a, b) => a - b)[5]).toBeCloseTo(1, 1);
  });

  test('its pens are foretold on a colour that a person picks, as bare and as dense as the person’s own writing', async () => {
    const { pens, papers, missing } = await opacityOf(library, ink);
    expect(missing).toEqual([]);
    expect(pens.map(({ words, layer }) => [words, layer.by])).toEqual([
      ['extra-fine nib', 'film-fit'],
      ['medium nib', 'film-fit'],
      ['swab', 'film-fit'],
    ]);
    expect(papers).toMatchObject([{ name: 'yellow, dyed', own: true }]);
    const [{ key, samples, layer }] = pens;
    expect(layer.channels?.map(({ name }) => name)).toEqual(['red', 'green', 'blue']);
    // On its own paper's colour it looks as it was measured there.
    const asked = await predictionOf(library, ink, key, { lab: samples[0].paperLab }, null);
    if (typeof asked === 'string') throw new Error(asked);
    expect(deltaE2000(labD50(...asked.lab), labD50(...samples[0].lab))).toBeLessThan(0.5);
    expect(asked).toMatchObject({ paper: null, by: 'film-fit', leftOutError: null, flags: ['not-checked'] });
    const { from, to, region } = asked.rendering!;
    expect([region, from.length]).toEqual(['ef', to.length]);
    expect(deltaE2000(labD50(...from[0]), labD50(...samples[0].paperLab))).toBeLessThan(0.5);
    expect(from.every(([L], i) => i === 0 || L < from[i - 1][0])).toBe(true);
    // A colour that is picked holds no brightener, blue as it may be.
    const dark = await predictionOf(library, ink, key, { lab: [30, 0, -9] }, null);
    expect(dark).toMatchObject({ ground: [30, 0, -9], flags: ['not-checked'] });
    expect(typeof dark === 'string' ? 99 : dark.lab[0]).toBeLessThan(samples[0].lab[0] - 3);
    // How far the layer hides it, against the yellow paper; of that paper itself nothing can be told.
    expect(asked.hiding).toMatchObject({ value: null, flags: ['grounds-alike'] });
    expect(dark).toMatchObject({ hiding: { quantity: 'hiding.predicted', verdict: expect.any(String), flags: [] } });
  });

  test('a paper or a pen that nobody measured is said in a line', async () => {
    expect(await predictionOf(library, ink, 'nobody', { lab: [90, 0, 0] }, null)).toMatch(/is no pen of this ink/);
    const [{ key }] = (await opacityOf(library, ink)).pens;
    expect(await predictionOf(library, ink, key, { paper: 'elsewhere' }, null)).toMatch(/“elsewhere” has no measured/);
  });

  test('and is worked out once, until something that it hangs on has changed', async () => {
    const told = await opacityInJson(library, ink);
    expect(JSON.parse(new TextDecoder().decode(told))).toEqual(await opacityOf(library, ink));
    expect(await opacityInJson(library, ink)).toBe(told);
    library.createInk({ name: 'Grebe Slate', maker: null });
    expect(await opacityInJson(library, ink)).toBe(told);
    library.edit(ink, { edit: 'changeRegion', id: 'm', region: M_AS_EF });
    expect(JSON.parse(new TextDecoder().decode(await opacityInJson(library, ink)))).toMatchObject({
      pens: [{ words: 'extra-fine nib', samples: [{ region: 'ef' }, { region: 'm' }] }, { words: 'swab' }],
    });
    library.undo(ink);
  });

  test('nothing is fitted twice', async () => {
    expect(await measured(measuring, ink)).toMatchObject({ measured: 0, kept: 7 });
  });

  test('a sample that moves makes stale what was fitted with it; undone, all holds again', () => {
    library.edit(ink, { edit: 'changeRegion', id: 'swab', region: { ...REGIONS[3], boxMm: [8, 95, 33, 15] } });
    expect(states()).toMatchObject({ ef: 'stale', m: 'stale', swab: 'stale' });
    expect(found('absorption(ef,m,swab)').current).toBe(false);
    // What is shown of the fit is that of the findings that are shown.
    expect(filmOf(library, ink).fits).toHaveLength(1);
    library.undo(ink);
    expect(states()).toMatchObject({ ef: 'current', m: 'current', swab: 'current' });
  });

  test('a renamed sample keeps all that was found of it and fitted with it, also measured again, and back', async () => {
    const before = findingsOf(library, ink);
    const film = filmOf(library, ink);
    const opacity = await opacityOf(library, ink);
    const renamed = <T>(told: T): T => JSON.parse(JSON.stringify(told).replaceAll(/\bef\b/g, 'fine'));
    library.edit(ink, { edit: 'changeRegion', id: 'ef', region: { ...REGIONS[1], id: 'fine' } });
    const isTold = async (): Promise<void> => {
      expect(findingsOf(library, ink).findings).toEqual(renamed(before.findings));
      expect(findingsOf(library, ink).findings.every(({ current }) => current)).toBe(true);
      expect(filmOf(library, ink)).toEqual(renamed(film));
      expect(await opacityOf(library, ink)).toEqual(renamed(opacity));
    };
    await isTold();
    expect(await measured(measuring, ink)).toMatchObject({ measured: 0, kept: 7 });
    await isTold();
    expect(library.document(ink).regions.map(({ id }) => id)).toEqual(['bare', 'fine', 'm', 'swab']);
    library.undo(ink);
    expect(findingsOf(library, ink).findings).toEqual(before.findings);
  });

  test('a region that takes the name of another has nothing of what that one was found to be', () => {
    library.edit(ink, { edit: 'changeRegion', id: 'ef', region: { ...REGIONS[1], id: 'fine' } });
    library.edit(ink, { edit: 'addRegion', region: REGIONS[1] });
    expect(states()).toMatchObject({ fine: 'stale', ef: 'never' });
    library.undo(ink);
    library.edit(ink, { edit: 'removeRegions', ids: ['swab'] });
    library.edit(ink, { edit: 'changeRegion', id: 'm', region: { ...REGIONS[2], id: 'swab' } });
    const colours = findingsOf(library, ink).findings.filter(({ key }) => key.startsWith('inkColour('));
    expect(colours.map(({ key }) => key)).toEqual(['inkColour(fine)', 'inkColour(swab)']);
    expect(filmOf(library, ink).fits[0].regions).toEqual(['fine', 'swab', 'swab (removed)']);
    for (let steps = 0; steps < 3; steps++) library.undo(ink);
    expect(states()).toMatchObject({ ef: 'current', m: 'current', swab: 'current' });
  });

  test('another paper’s name is said at once, with nothing measured', () => {
    const region = { ...REGIONS[3], paper: 'another' };
    const named = REGIONS.slice(1, 4).map((one) => ({ ...one, paper: 'another' }));
    named.forEach((one) => library.edit(ink, { edit: 'changeRegion', id: one.id, region: one }));
    expect(filmOf(library, ink).fits[0].curves.map(({ paper }) => paper)).toEqual([region.paper]);
    named.forEach(() => library.undo(ink));
  });

  test('stopped before the fit, a region as before keeps its number through the film; a changed one has the map’s', async () => {
    library.edit(ink, { edit: 'changeRegion', id: 'swab', region: { ...REGIONS[3], boxMm: [8, 95, 33, 15] } });
    let asked = (): void => {};
    const isAsked = new Promise<void>((resolve) => (asked = resolve));
    const stuck = new Measuring(library, {
      pool: poolWith((_, signal) => {
        asked();
        return new Promise((_resolve, reject) => signal?.addEventListener('abort', () => reject(new Error('stopped'))));
      }),
    });
    const { id } = stuck.start(ink);
    await isAsked;
    stuck.cancel(id);
    expect((await stuck.ended(id))?.state).toBe('cancelled');
    await stuck.close();
    expect(found('inkColour(ef)').finding.method).toBe('inkColour-film/15');
    expect(found('inkColour(ef)').current).toBe(false);
    expect(found('inkColour(swab)').finding).toMatchObject({ method: 'inkColour/11', flags: [] });
    expect(filmOf(library, ink)).toMatchObject({
      fits: [],
      missing: [{ words: expect.stringMatching(/Measure again/) }],
    });
    expect(await measured(measuring, ink)).toMatchObject({ state: 'done' });
    expect(found('inkColour(swab)').finding.method).toBe('inkColour-film/15');
    expect(filmOf(library, ink).fits).toHaveLength(1);
  });
});

test('what no fit could reach is told with its reason', async () => {
  const { library, ink } = await smallWork(join(folder.path, 'unreached'), SAMPLES);
  expect(filmOf(library, ink)).toEqual({ fits: [], missing: [] });
  const colour = (id: string, flag: Flag): SavedFinding => ({
    key: `inkColour(${id})`,
    finding: { ...resultOf('ef').quantities[0], subject: { regions: [id] }, flags: [flag] },
    trace: { scans: [], calibration: null, measuredAt: '2026-01-01T00:00:00.000Z' },
    regionKeys: [id],
  });
  const findings = [colour('ef', 'uncalibrated'), colour('m', 'no-bare-paper')];
  rememberFilms(library, findings, [
    { findings: [], inks: [], missing: [{ regions: ['swab'], words: 'Too few doses.' }] },
  ]);
  library.saveRun(ink, { measuredAt: '2026-01-01T00:00:00.000Z', findings, problems: [] });
  expect(filmOf(library, ink)).toEqual({
    fits: [],
    missing: [
      { regions: ['swab'], words: 'Too few doses.' },
      { regions: ['ef'], words: expect.stringMatching(/^No target serves their scan/) },
      { regions: ['m'], words: expect.stringMatching(/^No bare paper was found/) },
    ],
  });
  library.close();
});

test('a fit that fails costs the fit and no finding', async () => {
  const { library, ink } = await smallWork(join(folder.path, 'failed'), SAMPLES);
  const measuring = new Measuring(library, { pool: poolWith(() => Promise.reject(new Error('out of luck'))) });
  expect(await measured(measuring, ink)).toMatchObject({ state: 'done' });
  const { findings, problems } = findingsOf(library, ink);
  expect(problems).toContainEqual({ region: 'ef', message: 'no film fitted: out of luck' });
  expect(findings.find(({ key }) => key === 'inkColour(ef)')?.finding.method).toBe('inkColour/11');
  await measuring.close();
  library.close();
});

test('a picture writes the numbers that were found through the film', async () => {
  putFiles(folder);
  const loaded = await loadSheet(folder.put('sheet.json', JSON.stringify(soundSheet())));
  const drawn: OverlayTask[] = [];
  const runner = {
    ...poolWith(({ findings }) =>
      Promise.resolve({
        findings: findings.map((one) => ({ ...one, method: 'told-film/1' })),
        inks: [],
        missing: [],
      }),
    )(),
    overlay: (task: OverlayTask) => {
      drawn.push(task);
      return Promise.resolve(new Uint8Array(1));
    },
  };
  await measureWith(runner, loaded, { overlaysDir: join(folder.path, 'pictures') });
  const ef = drawn.flatMap(({ regions }) => regions).find(({ id }) => id === 'ef');
  expect(new Set(ef?.result?.quantities.map(({ method }) => method))).toEqual(new Set(['told-film/1']));
});

describe('what is gathered', () => {
  const target: LoadedTarget = {
    scanFile: 'card.tif',
    info: INFO,
    dpi: 300,
    layout: { format: 'wetline-target/1', name: 'none', pointsMm: [[0, 0], [9, 0], [9, 9], [0, 9]], patches: [] }, // prettier-ignore
    reference: { patches: new Map() },
  };
  const other = { ...target };
  const sheet: Pick<LoadedSheet, 'regions' | 'targets'> = {
    regions: ['a', 'b', 'c', 'd'].map((id) => ({
      id,
      scan: `of ${id}`,
      kind: 'swab',
      boxMm: [0, 0, 9, 9],
      paper: 'p',
    })),
    targets: new Map([
      ['of a', target],
      ['of b', target],
      ['of c', other],
      ['of d', null],
    ]),
  };
  const swab = resultOf('swab');
  const finding = (...regions: string[]) => ({ ...swab.quantities[0], subject: { regions } });
  const calibration = { calibration: nominalCalibration, scannerBlurMm: null, flags: [], target: null, pointsPx: null };
  const measuredAll = {
    calibrations: new Map(sheet.regions.map(({ scan }) => [scan, calibration])),
    papers: new Map([['of a\np', Promise.resolve({ paper: { clippedShare: 0.1 } })]]),
    results: new Map(sheet.regions.map(({ id }) => [id, { ...swab, id, ink: { ...swab.ink!, region: id } }])),
    findings: [finding('a'), finding('b', 'a'), finding('c'), finding('a', 'c'), finding('d')],
  };

  test('scans under different targets are fitted apart; without a target nothing is', async () => {
    expect(filmTargets(sheet)).toEqual([target, other]);
    const [first, second] = await Promise.all([target, other].map((one) => filmTask(one, sheet, measuredAll)));
    expect(first?.regions.map(({ ink }) => ink.region)).toEqual(['a', 'b']);
    expect(second?.regions.map(({ ink }) => ink.region)).toEqual(['c']);
    expect(first?.findings).toEqual([finding('a'), finding('b', 'a')]);
    // One sheet a scan, however alike their names.
    expect(first?.papers.map(({ id, clipped }) => [id, clipped])).toEqual([
      ['of a\np', true],
      ['of b\np', false],
    ]);
  });

  test('findings keep their places; what is the ink’s own comes last', () => {
    const [a, ab, c] = measuredAll.findings;
    const told = { ...ab, method: 'inkColour-film/15' };
    const absorption = { ...a, quantity: 'absorption' as const, subject: { regions: ['a', 'b'] } };
    expect(withFilms([a, ab, c], [told, absorption])).toEqual([a, told, c, absorption]);
  });
});
