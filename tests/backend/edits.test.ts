/** Edits, and taking them back. */
import { beforeAll, expect, test } from 'vitest';
import type { EditAnswer, SheetRegion, Work } from '../../electron/backend/api.ts';
import { backendBench, drawSwab, problemIn, valueIn } from './backendBench.ts';

const bench = backendBench();
let ink: number;
const region: SheetRegion = { id: 'swab', scan: 'white', kind: 'swab', boxMm: [10, 4, 12, 10] };

beforeAll(async () => {
  ink = (await bench.inkWith({ 'white.png': drawSwab() })).ink.id;
});

const edit = (body: unknown) => bench.post(`/api/inks/${ink}/edits`, body);

test('an edit answers with the work as it is now; undo and redo go back and forth', async () => {
  const before = await bench.get<Work>(`/api/inks/${ink}`);
  const done = await valueIn<Work>(await edit({ edit: { edit: 'addRegion', region }, revision: before.revision }));
  expect(done.regions.map((r) => r.region.id)).toEqual(['swab']);
  expect(done.revision).toBeGreaterThan(before.revision);
  expect(done.undo).toContain('swab');
  const undone = await bench.posted<Work>(`/api/inks/${ink}/undo`);
  expect(undone.regions).toEqual([]);
  expect(undone.redo).toBe(done.undo);
  const redone = await bench.posted<Work>(`/api/inks/${ink}/redo`);
  expect(redone.regions).toEqual(done.regions);
});

test('an edit beside another window’s keeps both; one over it says so, and undo brings that back', async () => {
  const from = { ...region };
  const moved = { ...region, boxMm: [11, 4, 12, 10] };
  const change = (to: object) => edit({ edit: { edit: 'changeRegion', id: 'swab', from, region: to } });
  expect(await valueIn<EditAnswer>(await change(moved))).toMatchObject({ overtook: null });
  const beside = await valueIn<EditAnswer>(await change({ ...region, nib: 'B' }));
  expect(beside).toMatchObject({ overtook: null, regions: [{ region: { ...moved, nib: 'B' } }] });
  const over = await valueIn<EditAnswer>(await change({ ...region, nib: 'M' }));
  expect(over.overtook).toBe(
    'The nib of “swab” was changed in another window meanwhile; yours is kept. Undo brings back theirs.',
  );
  const back = await bench.posted<Work>(`/api/inks/${ink}/undo`, { step: over.steps.undo });
  expect(back.regions.map((r) => r.region)).toEqual([{ ...moved, nib: 'B' }]);
  for (let step = 0; step < 2; step++) await bench.posted<Work>(`/api/inks/${ink}/undo`);
});

test('a request that comes once more is carried out once; undo of a step that is no longer the last is refused', async () => {
  const add = { edit: { edit: 'addRegion', region: { ...region, id: 'twice' } }, request: 'window 1, edit 1' };
  const first = await valueIn<Work>(await edit(add));
  expect(await valueIn<Work>(await edit(add))).toEqual(first);
  const undo = { step: first.steps.undo, request: 'window 1, undo 1' };
  const undone = await bench.posted<Work>(`/api/inks/${ink}/undo`, undo);
  expect(await bench.posted<Work>(`/api/inks/${ink}/undo`, undo)).toEqual(undone);
  expect(undone).toMatchObject({ redo: first.undo, undo: 'add region “swab”' });
  const late = await problemIn(await bench.post(`/api/inks/${ink}/undo`, { step: first.steps.undo }));
  expect(late).toMatchObject({ status: 409, code: 'changed-elsewhere' });
  expect(late.message).toContain('“add region “swab””');
});

test('undo pressed before the answer to an edit means that edit’s step, whatever another window did between the two', async () => {
  const add = (id: string, request: string) =>
    edit({ edit: { edit: 'addRegion', region: { ...region, id } }, request });
  const undo = (body: object) => bench.post(`/api/inks/${ink}/undo`, body);
  const mine = await valueIn<Work>(await add('mine', 'window 1, edit 2'));
  const theirs = await valueIn<Work>(await add('theirs', 'window 2, edit 1'));
  // Sent once more, the edit answers with the other window's step as the last: not that is meant.
  const late = await problemIn(await undo({ after: 'window 1, edit 2', step: theirs.steps.undo }));
  expect(late).toMatchObject({ status: 409, code: 'changed-elsewhere' });
  await bench.posted<Work>(`/api/inks/${ink}/undo`, { step: theirs.steps.undo });
  const undone = await bench.posted<Work>(`/api/inks/${ink}/undo`, { after: 'window 1, edit 2', request: 'undo 2' });
  expect(undone).toMatchObject({ redo: mine.undo });
  // What was refused or never came left nothing behind: then the step's number says it.
  expect((await undo({ after: 'never came', step: theirs.steps.undo })).status).toBe(409);
  const again = await bench.posted<Work>(`/api/inks/${ink}/redo`, { after: 'undo 2' });
  expect(again.regions.map((r) => r.region.id)).toContain('mine');
  await bench.posted<Work>(`/api/inks/${ink}/undo`);
});

test.each<[string, unknown, number, RegExp]>([
  ['an edit that does not exist', { edit: { edit: 'addRegoin' } }, 400, /edit\.edit: found "addRegoin"/],
  [
    'a region without a scan',
    { edit: { edit: 'addRegion', region: { ...region, scan: undefined } } },
    400,
    /scan is missing/,
  ],
  [
    'an unknown key',
    { edit: { edit: 'addRegion', region: { ...region, colour: 'blue' } } },
    400,
    /colour: unknown key/,
  ],
  ['a box without width', { edit: { edit: 'addRegion', region: { ...region, boxMm: [0, 0, 0, 1] } } }, 400, /boxMm/],
  [
    'a scan that is not here',
    { edit: { edit: 'addRegion', region: { ...region, id: 'b', scan: 'x' } } },
    404,
    /no scan “x”/,
  ],
  [
    'a region off its scan',
    { edit: { edit: 'addRegion', region: { ...region, id: 'b', boxMm: [90, 0, 9, 9] } } },
    400,
    /scan/,
  ],
  [
    'scans without their files',
    { edit: { edit: 'addScans', scans: [{ id: 'x', hash: 'a'.repeat(64), name: 'x' }] } },
    400,
    /send them to …\/import/,
  ],
  [
    'a revision that is none',
    { edit: { edit: 'removeScan', id: 'white' }, revision: 'new' },
    400,
    /revision: found "new"/,
  ],
])('refused in a line and nothing done: %s', async (_, body, status, words) => {
  const before = await bench.get<Work>(`/api/inks/${ink}`);
  const problem = await problemIn(await edit(body));
  expect(problem).toMatchObject({ status, message: expect.stringMatching(words) });
  expect(problem.message).not.toContain('\n');
  expect(await bench.get<Work>(`/api/inks/${ink}`)).toEqual(before);
});

test('keys of undo held beyond the last step are no error in the console', async () => {
  const { ink: fresh } = await bench.posted<Work>('/api/inks', { name: 'Held Down', maker: null });
  for (const way of ['undo', 'redo']) {
    const path = `/api/inks/${fresh.id}/${way}`;
    const quiet = await bench.ask(path, { method: 'POST', body: '{}', headers: { 'x-problems': 'as-answers' } });
    expect([quiet.status, quiet.headers.get('x-status')]).toEqual([200, '409']);
    expect(await quiet.json()).toMatchObject({ code: `nothing-to-${way}` });
  }
});

test('nothing left to undo or redo is said as such', async () => {
  const { ink: fresh } = await bench.posted<Work>('/api/inks', { name: 'Fresh' });
  expect(await problemIn(await bench.post(`/api/inks/${fresh.id}/undo`))).toMatchObject({
    status: 409,
    code: 'nothing-to-undo',
  });
  expect(await problemIn(await bench.post(`/api/inks/${fresh.id}/redo`))).toMatchObject({
    status: 409,
    code: 'nothing-to-redo',
  });
});
