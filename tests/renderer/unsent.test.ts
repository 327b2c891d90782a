/** What was done and has no answer outlives the window's being loaded anew, in its order; and what a step means stands from its first try on. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Edit, EditRequest, SheetRegion, StepRequest } from '../../electron/backend/api.ts';
import { work } from './emptyWork.ts';
import { turn } from './heldAnswer.ts';

const named = (name: string): Edit => ({ edit: 'changeInk', name, maker: null });

/** What of the program behind the window does not answer. */
let down: ReadonlySet<string>;
/** What came there. */
let sent: string[];
/** The step that undo would take back. */
let last: number;
/** The bodies of it. */
let bodies: readonly Partial<EditRequest & StepRequest>[];

beforeEach(() => {
  [down, sent, last, bodies] = [new Set(), [], 4, []];
  // A tab of a browser.
  const kept = new Map<string, string>();
  vi.stubGlobal('sessionStorage', {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => void kept.set(key, value),
    removeItem: (key: string) => void kept.delete(key),
  });
  // What a window would try again by the clock reaches no other window's program, however slow the machine: tests say when, by saveAgain.
  const soon = globalThis.setTimeout;
  vi.stubGlobal('setTimeout', (done: () => void, ms = 0) => (ms === 0 ? soon(done) : undefined));
  let revision = 1;
  vi.stubGlobal('fetch', async (url: string, { body }: { readonly body?: string } = {}) => {
    const what = url.split('/').at(-1) ?? '';
    const asked: Partial<EditRequest & StepRequest> = body === undefined ? {} : JSON.parse(body);
    const { edit, step } = asked;
    if (body !== undefined) bodies = [...bodies, asked];
    if (body !== undefined) sent.push(edit?.edit === 'changeInk' ? edit.name : `${what} ${step}`);
    if (down.has(what)) throw new TypeError('no answer');
    if (what === 'hello') return Response.json({ library: '/inks' });
    return Response.json({ ...work(++revision), steps: { undo: last, redo: null }, overtook: null });
  });
});
afterEach(() => {
  vi.unstubAllGlobals();
});

/** The window as it is when it has just been loaded. */
async function loaded() {
  vi.resetModules();
  return import('../../renderer/api/store.ts');
}
const noted = (): string | null => sessionStorage.getItem('wetline.unsent');
const settled = async (): Promise<void> => {
  for (let i = 0; i < 4; i++) await turn();
};

test('what waits when the window is loaded anew goes before what is done then, also when nothing answers at first', async () => {
  down = new Set(['edits']);
  const before = await loaded();
  void before.edit(1, named('one'));
  void before.edit(1, named('two'));
  await settled();
  [down, sent] = [new Set(['hello']), []];
  const after = await loaded();
  void after.edit(1, named('three'));
  await settled();
  // Nothing is done past what waits, and the window knows that something does.
  expect([sent, after.hasUnsaved()]).toEqual([[], true]);
  down = new Set();
  after.saveAgain(1);
  await settled();
  expect(sent).toEqual(['one', 'two', 'three']);
  expect([noted(), after.hasUnsaved()]).toEqual([null, false]);
});

test('what is done before the window knows its library is noted, too; of another library nothing is sent', async () => {
  down = new Set(['hello', 'edits']);
  const before = await loaded();
  void before.edit(1, named('early'));
  await settled();
  [down, sent] = [new Set(), []];
  await loaded();
  await settled();
  expect([sent, noted()]).toEqual([['early'], null]);

  const body = { edit: named('elsewhere'), request: 'a-1' };
  const other = { request: 'a-1', library: '/others', ink: 1, to: 'edits', body, duringStep: false };
  sessionStorage.setItem('wetline.unsent', JSON.stringify([other]));
  const after = await loaded();
  await settled();
  expect([sent, noted(), after.hasUnsaved()]).toEqual([['early'], null, false]);
});

test.each([
  '{"not":"a list"}',
  '[null, 1, {"ink": 1}, {"request": "a-1", "ink": 1, "to": "edits", "body": {}}]',
  'cut [',
])('what is noted in no way of this program stops nothing: %s', async (text) => {
  sessionStorage.setItem('wetline.unsent', text);
  const store = await loaded();
  expect(await store.edit(1, named('one'))).toBeNull();
  expect([sent, noted()]).toEqual([['one'], null]);
});

test('an undo that got lost means the same step at its next try', async () => {
  down = new Set(['undo']);
  const store = await loaded();
  const first = store.edit(1, named('one'));
  const undone = store.undo(1);
  await first;
  await settled();
  [down, last] = [new Set(), 9];
  store.saveAgain(1);
  expect(await undone).toBeNull();
  expect(sent).toEqual(['one', 'undo 4', 'undo 4']);
});

test('what is put onto an own step is never sent as it was made, also when the answer with the work was cut off', async () => {
  const ef = (left: number): SheetRegion => ({ id: 'ef', scan: 'white', kind: 'strokes', boxMm: [left, 2, 30, 10] });
  const moved: Edit = { edit: 'changeRegion', id: 'ef', from: ef(1), region: ef(1.5) };
  const boxes: unknown[] = [];
  let isCut = true;
  vi.stubGlobal('fetch', async (_: string, { body }: { readonly body?: string } = {}) => {
    const { edit }: Partial<EditRequest> = body === undefined ? {} : JSON.parse(body);
    if (edit?.edit === 'changeRegion') boxes.push(edit.region.boxMm);
    const whole = JSON.stringify({
      ...work(7),
      regions: [{ region: ef(4), problem: null, measured: 'never' }],
      overtook: null,
    });
    return new Response(isCut ? whole.slice(0, 40) : whole);
  });
  const store = await loaded();
  store.fetchAhead({ page: 'scans', ink: 1, query: {} });
  void store.edit(1, moved, { duringStep: true });
  await settled();
  expect([boxes, store.hasUnsaved()]).toEqual([[], true]);
  isCut = false;
  store.saveAgain(1);
  await settled();
  expect([boxes, store.hasUnsaved()]).toEqual([[[4.5, 2, 30, 10]], false]);
});

test('an undo behind what has no answer means what that leaves, also when the window is loaded anew', async () => {
  down = new Set(['edits']);
  const before = await loaded();
  void before.edit(1, named('one'));
  void before.undo(1);
  await settled();
  const [{ request: one }] = bodies;
  [down, bodies] = [new Set(), []];
  const after = await loaded();
  void after.redo(1);
  await settled();
  expect(bodies).toMatchObject([{ request: one }, { after: one }, { after: bodies[1].request }]);
  expect(one).toEqual(expect.any(String));
});

test('what is made from an own edit without an answer is made from what that makes, also when the window is loaded anew', async () => {
  const from = (): unknown[] => bodies.map(({ edit }) => (edit?.edit === 'changeInk' ? edit.from?.name : null));
  down = new Set(['edits']);
  const before = await loaded();
  before.fetchAhead({ page: 'scans', ink: 1, query: {} });
  await vi.waitFor(() => expect(before.heldWork(1)).not.toBeNull());
  void before.edit(1, named('one'));
  void before.edit(1, named('two'));
  void before.edit(1, { edit: 'removeRegions', ids: ['ef'] });
  await settled();
  const [{ revision: seen }] = bodies;
  [down, bodies] = [new Set(), []];
  await loaded();
  await settled();
  expect(from()).toEqual(['Heron Grey', 'one', null]);
  // What its own edits before it changed is no other window's change.
  expect(bodies[2].revision).toBeGreaterThan(seen ?? Infinity);
});

test('what waits is in sight after the window was loaded anew, as it was before; once an undo waits behind it, the library’s is', async () => {
  const ef: SheetRegion = { id: 'ef', scan: 'white', kind: 'strokes', boxMm: [1, 2, 30, 10] };
  const moved: SheetRegion = { ...ef, boxMm: [5, 2, 30, 10] };
  const inHand = async () => {
    const { regionDrafts, regionsInHand } = await import('../../renderer/scans/regionsInHand.ts');
    regionsInHand(1);
    return () => [...regionDrafts.get(1).made.values()].map(({ region }) => region);
  };
  const name = async (store: Awaited<ReturnType<typeof loaded>>) => {
    store.fetchAhead({ page: 'scans', ink: 1, query: {} });
    await vi.waitFor(() => expect(store.heldWork(1)).not.toBeNull());
    return store.heldWork(1)?.ink.name;
  };
  down = new Set(['edits', 'undo']);
  const before = await loaded();
  void before.edit(1, { edit: 'changeRegion', id: 'ef', from: ef, region: moved });
  void before.edit(1, named('two'));
  await settled();
  const after = await loaded();
  const regions = await inHand();
  expect([regions(), await name(after)]).toEqual([[moved], 'two']);
  down = new Set(['undo']);
  after.saveAgain(1);
  await settled();
  expect(regions()).toEqual([]);

  down = new Set(['edits', 'undo']);
  void after.edit(1, named('three'));
  void after.undo(1);
  await settled();
  const last = await loaded();
  await inHand();
  expect(await name(last)).toBe('Heron Grey');
});

test('what was renamed before the window was loaded anew is found by the name in its address, also once that is through', async () => {
  const ef: SheetRegion = { id: 'ef', scan: 'white', kind: 'strokes', boxMm: [1, 2, 30, 10] };
  const history = { replaceState: (_: unknown, __: string, to: string) => void (location.hash = to) };
  const location = { hash: '#/ink/1/scans?scan=white&region=ef' };
  vi.stubGlobal('window', { location, history });
  vi.stubGlobal('document', { addEventListener: () => undefined });
  down = new Set(['edits']);
  const before = await loaded();
  void before.edit(1, { edit: 'changeRegion', id: 'ef', from: ef, region: { ...ef, id: 'fine' } });
  void before.edit(1, { edit: 'changeScan', id: 'white', change: { id: 'laid' } });
  await settled();
  down = new Set();
  await loaded();
  await settled();
  expect(noted()).toBeNull();
  const { nowCalled } = await import('../../renderer/scans/renamed.ts');
  await settled();
  expect(nowCalled(1, 'region', 'ef', (name) => name === 'fine')).toBe('fine');
  expect(location.hash).toBe('#/ink/1/scans?scan=laid&region=fine');
});
