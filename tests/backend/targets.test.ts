/** What a person does with targets, through the backend: built-in files, a place by hand, a white sheet, the card printed and taught. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type {
  DocumentTarget,
  ImportAnswer,
  KnownTargetFiles,
  TargetGrid,
  TargetView,
  TaughtCard,
  Work,
} from '../../electron/backend/api.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { backendBench, problemIn } from './backendBench.ts';
import { CARD_TRUTH, drawCard, drawChart, drawChartAndCard, drawWhite } from './targetScans.ts';
import { unzipped } from './unzipped.ts';

const bench = backendBench();

async function known(): Promise<KnownTargetFiles> {
  return bench.get<KnownTargetFiles>('/api/targets');
}

async function builtIn(layout: string, reference: string): Promise<Pick<DocumentTarget, 'layout' | 'reference'>> {
  const { layouts, references } = await known();
  const hashOf = (files: readonly { name: string; hash: string }[], name: string) =>
    files.find((file) => file.name === name)?.hash ?? `no ${name}`;
  return { layout: hashOf(layouts, layout), reference: hashOf(references, reference) };
}

async function setTarget(ink: number, target: DocumentTarget | null): Promise<Work> {
  return bench.posted<Work>(`/api/inks/${ink}/edits`, { edit: { edit: 'setTarget', serves: 'all', target } });
}

/** As a folder that is dropped. */
async function openedSheet(files: ReadonlyMap<string, Buffer>): Promise<ImportAnswer> {
  const uploads = await Promise.all([...files].map(([name, bytes]) => bench.upload(name, bytes)));
  return bench.posted<ImportAnswer>('/api/sheets', { uploads: uploads.map(({ name, hash }) => ({ name, hash })) });
}

describe('what there is to choose from', () => {
  test('three layouts and the small chart’s references are built in, each with the layouts that it does not fit', async () => {
    const { layouts, references } = await known();
    expect(layouts.map(({ name, from }) => [name, from])).toEqual([
      ['card', 'built-in'],
      ['iso12641-1', 'built-in'],
      ['chart-4x6', 'built-in'],
    ]);
    expect(references.map(({ name }) => name)).toContain('chart-4x6');
    const chart = references.find(({ name }) => name === 'chart-4x6');
    const [card, iso, small] = layouts.map(({ hash }) => chart?.misfits[hash]);
    expect(card).toMatch(/lacks 96 of the 96 patches/);
    expect(iso).toMatch(/lacks .* patches/);
    expect(small).toBeUndefined();
  });

  test('a target is drawn from its layout and reference, with words for where its points belong', async () => {
    const { layout, reference } = await builtIn('chart-4x6', 'chart-4x6');
    const grid = await bench.get<TargetGrid>(`/api/targets/${layout}/${reference}`);
    expect(grid).toMatchObject({ layout: '4 × 6 colour-rendition chart' });
    expect(grid.patches).toHaveLength(24);
    expect(grid.patches.every(({ lab }) => lab !== null)).toBe(true);
    expect(grid.pointsWords).toMatch(/corner/);
    const { layout: card } = await builtIn('card', '');
    const misfit = await bench.ask(`/api/targets/${card}/${reference}`);
    expect(await problemIn(misfit)).toMatchObject({ status: 422, message: expect.stringMatching(/lacks 96/) });
    const unknown = await bench.ask(`/api/targets/${'0'.repeat(64)}/${reference}`);
    expect(await problemIn(unknown)).toMatchObject({ status: 404, message: expect.stringMatching(/Bring/) });
  });
});

describe('a chart beside a page of writing', () => {
  const chart = drawChart();
  const { pointsMm } = chart;
  let ink: number;
  let target: DocumentTarget;

  test('placed by hand with built-in files it calibrates, and says that a person placed it', async () => {
    ink = (await bench.inkWith({ 'chart.png': chart.png, 'white.png': drawWhite() })).ink.id;
    target = { scan: 'chart', ...(await builtIn('chart-4x6', 'chart-4x6')), pointsMm };
    const work = await setTarget(ink, target);
    expect(work.target).toEqual(target);
    const view = await bench.get<TargetView>(`/api/inks/${ink}/targets/chart`);
    expect(view.leftOutMedian).toBeLessThan(1);
    expect(view).toMatchObject({ found: false, located: { by: 'person', score: 1 } });
    expect(view.cautions.every(({ words }) => words.length > 20)).toBe(true);
    // It is the ink's own file from now on, still listed once.
    const { layouts } = await known();
    expect(bench.host.library.targetFiles().layouts.map(({ name }) => name)).toEqual(['chart-4x6.json']);
    expect(layouts.filter(({ hash }) => hash === target.layout)).toHaveLength(1);
  });

  test('a white sheet is another calibration; it follows its scan’s name and goes with it, and undo brings it back', async () => {
    const work = async () => bench.get<Work>(`/api/inks/${ink}`);
    const keyOf = ({ scans }: Work) => scans.find(({ id }) => id === 'chart')?.colours.key;
    const before = keyOf(await work());
    const withWhite = await setTarget(ink, { ...target, white: 'white' });
    expect(withWhite.undo).toBe('set the white sheet of the target');
    expect(keyOf(withWhite)).not.toBe(before);
    const view = await bench.get<TargetView>(`/api/inks/${ink}/targets/chart`);
    expect(view.leftOutMedian).not.toBeNull();
    const edit = (body: object) => bench.posted<Work>(`/api/inks/${ink}/edits`, { edit: body });
    const renamed = await edit({ edit: 'changeScan', id: 'white', change: { id: 'bare sheet' } });
    expect(renamed.target?.white).toBe('bare sheet');
    expect(keyOf(renamed)).toBe(keyOf(withWhite));
    const removed = await edit({ edit: 'removeScan', id: 'bare sheet' });
    expect(removed.target).toEqual(target);
    expect(keyOf(removed)).toBe(before);
    const back = await bench.posted<Work>(`/api/inks/${ink}/undo`);
    expect(back.target?.white).toBe('bare sheet');
  });

  test('saved with its scans it carries layout, reference and white sheet, here and on the command line', async () => {
    const region = { id: 'page', scan: 'chart', kind: 'paper', boxMm: [150, 130, 30, 8] };
    await bench.posted(`/api/inks/${ink}/edits`, { edit: { edit: 'addRegion', region } });
    const answer = await bench.ask(`/api/inks/${ink}/sheet.zip`);
    const files = unzipped(Buffer.from(await answer.arrayBuffer()));
    const sheet: unknown = JSON.parse(files.get('sheet.json')?.toString() ?? '');
    expect(sheet).toMatchObject({
      target: { scan: 'chart', layout: 'chart-4x6.json', reference: 'chart-4x6.txt', white: 'bare sheet' },
    });
    expect([...files.keys()]).toEqual(expect.arrayContaining(['chart-4x6.json', 'chart-4x6.txt', 'white.png']));
    const opened = await openedSheet(files);
    expect(opened.problems).toEqual([]);
    expect(opened.work.target).toEqual({ ...target, white: 'bare sheet' });
    const folder = join(bench.folder, 'saved');
    mkdirSync(folder, { recursive: true });
    for (const [name, bytes] of files) writeFileSync(join(folder, name), bytes);
    const loaded = await loadSheet(folder);
    expect(loaded.targetProblems).toEqual([]);
    expect(loaded.target?.white?.info.widthPx).toBe(1240);
  });

  test('a sheet may call built-in files by their names', async () => {
    const sheet = {
      format: 'wetline-sheet/1',
      target: { scan: 'chart', layout: 'chart-4x6', reference: 'chart-4x6-published', pointsMm },
      scans: [{ id: 'chart', file: 'chart.png' }],
      regions: [{ id: 'page', scan: 'chart', kind: 'paper', boxMm: [150, 130, 30, 8] }],
    };
    const { work, problems } = await openedSheet(
      new Map([
        ['sheet.json', Buffer.from(JSON.stringify(sheet))],
        ['chart.png', chart.png],
      ]),
    );
    expect(problems).toEqual([]);
    expect(work.target).toEqual({ scan: 'chart', ...(await builtIn('chart-4x6', 'chart-4x6-published')), pointsMm });
  });

  test.each<[string, (t: DocumentTarget) => DocumentTarget, number, RegExp]>([
    ['a white sheet that is no scan of the ink', (t) => ({ ...t, white: 'moon' }), 404, /no scan “moon”/],
    ['the target’s own scan as white sheet', (t) => ({ ...t, white: 'chart' }), 422, /lies on; expected .*bare white/],
    ['a layout that nobody knows', (t) => ({ ...t, layout: '1'.repeat(64) }), 404, /layout is not in the library/],
    [
      'corners in the wrong order',
      (t) => ({ ...t, pointsMm: [pointsMm[3], pointsMm[2], pointsMm[1], pointsMm[0]] }),
      422,
      /clockwise/,
    ],
  ])('refused in a line: %s', async (_, change, status, words) => {
    const edit = { edit: 'setTarget', serves: 'all', target: change(target) };
    const problem = await problemIn(await bench.post(`/api/inks/${ink}/edits`, { edit }));
    expect(problem).toMatchObject({ status, message: expect.stringMatching(words) });
    expect(problem.message).not.toContain('\n');
  });

  test('a target that cannot be found says so by a code that a person can be helped by', async () => {
    const empty = (await bench.inkWith({ 'white.png': drawWhite() })).ink.id;
    await setTarget(empty, { scan: 'white', ...(await builtIn('chart-4x6', 'chart-4x6')) });
    const told: unknown[] = [];
    const end = bench.host.measuring.onEvent((event) => told.push(event));
    const problem = await problemIn(await bench.ask(`/api/inks/${empty}/targets/white`));
    end();
    expect(problem).toMatchObject({ status: 422, code: 'target-not-found' });
    expect(problem.message).toMatch(/^white\.png: /);
    // Windows hear that its colours are no longer to come through a calibration, though the work has not changed.
    const { revision, scans } = await bench.get<Work>(`/api/inks/${empty}`);
    expect(told).toEqual([{ event: 'work', ink: empty, revision, colours: true }]);
    expect(scans[0].colours.by).toBe('assumed-srgb');
    // And again, from what is remembered of it.
    expect(await problemIn(await bench.ask(`/api/inks/${empty}/targets/white`))).toEqual(problem);
  });
});

test('a white sheet with writing on it is refused by a code of its own', async () => {
  const { png, pointsMm } = drawChart();
  const written = drawChart({ seed: 9, gradient: 0.05 }).png;
  const { ink } = await bench.inkWith({ 'chart.png': png, 'written.png': written });
  const files = await builtIn('chart-4x6', 'chart-4x6');
  await setTarget(ink.id, { scan: 'chart', ...files, pointsMm, white: 'written' });
  const problem = await problemIn(await bench.ask(`/api/inks/${ink.id}/targets/chart`));
  expect(problem).toMatchObject({
    status: 422,
    code: 'white-not-bare',
    message: expect.stringMatching(/written\.png/),
  });
});

describe('the printed card', () => {
  const both = drawChartAndCard();
  const alone = drawChart();
  const white = drawWhite();

  test.each<[string, RegExp]>([
    ['a4.pdf', /Wetline card A4\.pdf/],
    ['letter.pdf', /Wetline card Letter\.pdf/],
  ])('as %s for the printer', async (file, name) => {
    const answer = await bench.ask(`/api/card/${file}`);
    expect(answer.headers.get('content-type')).toBe('application/pdf');
    expect(answer.headers.get('content-disposition')).toMatch(name);
    const bytes = Buffer.from(await answer.arrayBuffer());
    expect(bytes.subarray(0, 5).toString()).toBe('%PDF-');
    expect(bytes.length).toBeGreaterThan(10_000);
  });

  test('its layout comes in again as the built-in one', async () => {
    const answer = await bench.ask('/api/card/layout.json');
    const upload = await bench.upload('card.json', await answer.text());
    expect(upload).toMatchObject({ kind: 'layout', problem: null });
    expect((await known()).layouts.find(({ hash }) => hash === upload.hash)).toMatchObject({ from: 'built-in' });
  });

  test('is taught beside a known target, kept with a ± for each patch, and then serves alone', async () => {
    const { png, pointsMm } = both;
    const { ink } = await bench.inkWith({ 'both.png': png, 'card.png': drawCard() });
    await setTarget(ink.id, { scan: 'both', ...(await builtIn('chart-4x6', 'chart-4x6')), pointsMm });
    const taught = await bench.posted<TaughtCard>(`/api/inks/${ink.id}/targets/both/teach`);
    expect(taught.patches).toBe(96);
    expect(taught.reference.name).toMatch(
      /^Card taught \d{1,2} \w{3,4} 2\d{3} from 4 × 6 colour-rendition chart\.txt$/,
    );
    expect(taught.medianU).toBeGreaterThan(0.1);
    expect(taught.words).toMatch(/ΔE/);
    const far = taught.rows
      .map(({ id, lab }) => deltaE2000(labD50(...lab), CARD_TRUTH.get(id)!))
      .toSorted((a, b) => a - b);
    expect(far[48]).toBeLessThan(2);
    const text = bench.host.library.text(taught.reference.hash);
    const read = parseReference(text, 'taught');
    expect(read.patches.get('G01')?.u?.every((u) => u > 0)).toBe(true);

    const { layouts, references } = await known();
    const file = references.find(({ hash }) => hash === taught.reference.hash);
    expect(file).toMatchObject({ from: 'taught', patches: 96 });
    const card = layouts.find(({ name }) => name === 'card');
    expect(file?.misfits[card?.hash ?? '']).toBeUndefined();
    await setTarget(ink.id, { scan: 'card', layout: taught.layout, reference: taught.reference.hash });
    const view = await bench.get<TargetView>(`/api/inks/${ink.id}/targets/card`);
    expect(view).toMatchObject({ found: true, located: { by: 'fiducials' } });
    expect(view.leftOutMedian).toBeLessThan(2);
    expect(view.referenceWords).toMatch(/sure to ± \d/);

    const itself = await bench.post(`/api/inks/${ink.id}/targets/card/teach`);
    expect(await problemIn(itself)).toMatchObject({ status: 422, code: 'card-is-target' });
  });

  test.each<[string, string, unknown, number, RegExp]>([
    ['a scan without a target', 'white', {}, 404, /no target is said to lie on it/],
    ['a scan with a chart and no card', 'chart', {}, 422, /card/],
    ['another scan that holds none', 'chart', { scans: ['white'] }, 404, /“white”/],
    ['a slip of the pen', 'chart', { scan: ['white'] }, 400, /unknown key/],
  ])('is not taught by %s, in a line', async (_, scan, body, status, words) => {
    const { png, pointsMm } = alone;
    const { ink } = await bench.inkWith({ 'chart.png': png, 'white.png': white });
    await setTarget(ink.id, { scan: 'chart', ...(await builtIn('chart-4x6', 'chart-4x6')), pointsMm });
    const problem = await problemIn(await bench.post(`/api/inks/${ink.id}/targets/${scan}/teach`, body));
    expect(problem).toMatchObject({ status, message: expect.stringMatching(words) });
    expect(problem.message).not.toContain('\n');
    expect(problem.message).not.toContain(bench.folder);
  });

  test('given up, teaching ends and nothing is kept', async () => {
    const { png, pointsMm } = both;
    const { ink } = await bench.inkWith({ 'both.png': png });
    await setTarget(ink.id, { scan: 'both', ...(await builtIn('chart-4x6', 'chart-4x6')), pointsMm });
    const before = (await known()).references.length;
    const stop = new AbortController();
    const path = `/api/inks/${ink.id}/targets/both/teach`;
    const asked = bench.ask(path, { method: 'POST', body: '{}', signal: stop.signal });
    setTimeout(() => stop.abort(), 50);
    expect((await asked).status).toBe(503);
    expect((await known()).references).toHaveLength(before);
  });
});

test('nothing went wrong that nobody foresaw', () => {
  expect(bench.defects).toEqual([]);
});
