/** The shelf's routes: inks made, taken away, brought back. */
import { expect, test } from 'vitest';
import type { Hello, KnownTargetFiles, Shelf, ShelfChanges, Work } from '../../electron/backend/api.ts';
import { rmSync } from 'node:fs';
import { LAYOUT, plainScan, REFERENCE } from '../host/smallSheet.ts';
import { backendBench, problemIn, valueIn } from './backendBench.ts';

const bench = backendBench();

test('who answers', async () => {
  const hello = await bench.get<Hello>('/api/hello');
  expect(hello).toEqual({ version: '9.9.9', shell: 'browser', library: bench.host.library.folder });
});

test('an ink is made, listed, removed and restored', async () => {
  const made = await bench.post('/api/inks', { name: ' Harbour Night ', maker: 'Quill & Tide' });
  expect(made.status).toBe(201);
  const { ink } = await valueIn<Work>(made);
  expect(ink).toMatchObject({ name: 'Harbour Night', maker: 'Quill & Tide', invented: false, scans: 0 });
  const names = async () => (await bench.get<Shelf>('/api/shelf')).inks.map(({ name }) => name);
  expect(await names()).toEqual(['Harbour Night']);

  expect((await bench.ask(`/api/inks/${ink.id}`, { method: 'DELETE' })).status).toBe(204);
  expect(await names()).toEqual([]);
  const off = async () => (await bench.get<Shelf>('/api/shelf')).removed.map(({ id, name }) => [id, name]);
  expect(await off()).toEqual([[ink.id, 'Harbour Night']]);
  const back = await bench.posted<Work>(`/api/inks/${ink.id}/restore`);
  expect(back.ink.name).toBe('Harbour Night');
  expect([await names(), await off()]).toEqual([['Harbour Night'], []]);
});

test('an ink whose answer got lost is made once, whatever it is to be called by then', async () => {
  const made = (name: string) => bench.posted<Work>('/api/inks', { name, maker: null, request: 'window 1, ink 1' });
  const first = await made('Dune Grey');
  expect((await made('Dune Gray')).ink).toMatchObject({ id: first.ink.id, name: 'Dune Grey' });
  const other = await bench.posted<Work>('/api/inks', { name: 'Dune Grey', maker: null });
  expect(other.ink.id).not.toBe(first.ink.id);
});

test('layouts and references that came in are known', async () => {
  await bench.upload('layout.json', JSON.stringify(LAYOUT));
  await bench.upload('reference.txt', REFERENCE);
  const known = await bench.get<KnownTargetFiles>('/api/targets');
  // What is built in comes behind them (targets.test.ts).
  expect(known.layouts[0]).toMatchObject({ name: 'layout.json', title: 'four squares', from: 'brought', patches: 4 });
  expect(known.references[0]).toMatchObject({ name: 'reference.txt', title: 'reference', patches: 4, from: 'brought' });
});

test.each<[string, string, string, number, RegExp]>([
  ['no JSON', '/api/inks', 'name=x', 400, /the body is no JSON; expected a JSON object/],
  ['nothing', '/api/inks', '', 400, /the body is no JSON/],
  ['no name', '/api/inks', '{}', 400, /name is missing; expected text.* Add it/],
  ['an empty name', '/api/inks', '{"name":"  "}', 400, /name: found "  "; expected text that is not empty/],
  [
    'a name that fits nowhere',
    '/api/inks',
    `{"name":"${'i'.repeat(81)}"}`,
    400,
    /name: found "i+…; expected text of at most 80/,
  ],
  ['a slip of the pen', '/api/inks', '{"nmae":"x","name":"x"}', 400, /nmae: unknown key; .*did you mean "name"/],
  ['an ink that never was', '/api/inks/77/restore', '{}', 404, /77/],
  ['an ink that is no number', '/api/inks/blue/restore', '{}', 400, /"blue" is no ink; expected a whole number/],
])('refused in a line: %s', async (_, path, body, status, words) => {
  const problem = await problemIn(await bench.ask(path, { method: 'POST', body }));
  expect(problem).toMatchObject({ status, message: expect.stringMatching(words) });
  expect(problem.message).not.toContain('\n');
});

test.each(['/api/inks/77', '/api/inks/77/findings', '/api/inks/77/sheet.json', '/api/inks/77/sheet.zip'])(
  'GET %s: an ink that never was is not found, in words',
  async (path) => {
    const problem = await problemIn(await bench.ask(path));
    expect(problem).toMatchObject({ status: 404, code: 'no-such-ink', message: expect.stringContaining('77') });
  },
);

test('a body too large for any request is refused before it is read', async () => {
  const body = JSON.stringify({ name: 'x'.repeat(9_000_000) });
  expect(await problemIn(await bench.ask('/api/inks', { method: 'POST', body }))).toMatchObject({
    status: 413,
    code: 'too-large',
  });
});

test('who knows the shelf is told what changed since, and no more', async () => {
  const made = (name: string) => bench.posted<Work>('/api/inks', { name, maker: null });
  const [first, second] = [await made('Heron Grey'), await made('Plum Dusk')];
  const since = async (stamp: string) => await bench.get<ShelfChanges>(`/api/shelf?since=${encodeURIComponent(stamp)}`);
  const whole = await bench.get<Shelf>('/api/shelf');
  const nothing = await since(whole.stamp);
  expect(nothing).toMatchObject({ stamp: whole.stamp, changed: [], order: whole.inks.map(({ id }) => id) });

  const edit = { edit: 'changeInk', name: 'Heron Blue', maker: null };
  await bench.posted(`/api/inks/${first.ink.id}/edits`, { edit });
  const renamed = await since(nothing.stamp);
  expect(renamed.changed.map(({ name }) => name)).toEqual(['Heron Blue']);
  // The one last worked on stands first.
  expect(renamed.order.slice(0, 2)).toEqual([first.ink.id, second.ink.id]);

  await bench.ask(`/api/inks/${second.ink.id}`, { method: 'DELETE' });
  const removed = await since(renamed.stamp);
  expect(removed.changed).toEqual([]);
  expect(removed.order).not.toContain(second.ink.id);
  await bench.posted(`/api/inks/${second.ink.id}/restore`);
  expect((await since(removed.stamp)).changed.map(({ name }) => name)).toEqual(['Plum Dusk']);
  // Of another start of the program: all of it.
  expect((await since('elsewhere/3')).changed).toHaveLength(whole.inks.length);
});

test('a card tells at once when a scan’s file is gone, though nothing of the ink was changed', async () => {
  const { ink, scans } = await bench.inkWith({ 'white.png': plainScan(300) });
  const { stamp } = await bench.get<Shelf>('/api/shelf');
  rmSync(bench.host.library.file(scans[0].hash)!.path);
  const { changed } = await bench.get<ShelfChanges>(`/api/shelf?since=${encodeURIComponent(stamp)}`);
  expect(changed).toMatchObject([{ id: ink.id, attention: expect.stringContaining('its file is gone') }]);
});
