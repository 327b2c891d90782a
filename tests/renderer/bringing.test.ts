/** Files that were brought are not lost when the library does not answer, and the window knows that they are on their way. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Work } from '../../electron/backend/api.ts';
import { bring, giveInk, isBringing, sendAgain } from '../../renderer/bring/bringing.ts';
import { card, work } from './emptyWork.ts';

afterEach(() => {
  vi.unstubAllGlobals();
});

/** What came to the library, which answers all but `down`. Files come by their paths, as in the desktop shell. */
function library(down: Set<string>, now: Work = { ...work(2), ink: { ...card, id: 7 } }): [string, unknown][] {
  const came: [string, unknown][] = [];
  const place = { hash: '#/', pathname: '/' };
  vi.stubGlobal('window', {
    wetline: { pathOf: ({ name }: File) => `/scans/${name}` },
    location: place,
    history: { pushState: (_: null, __: string, hash: string) => void (place.hash = hash) },
  });
  vi.stubGlobal('fetch', async (url: string, { body = '{}' }: { readonly body?: string } = {}) => {
    const what = url.split('/').at(-1) ?? '';
    came.push([what, JSON.parse(body)]);
    if (down.has(what)) throw new TypeError('no answer');
    const kind = body.includes('json') ? 'sheet' : 'scan';
    if (what === 'paths')
      return Response.json([{ name: '', hash: 'a'.repeat(64), kind, problem: null, already: null }]);
    return Response.json(what === 'inks' || what === 'edits' ? now : { work: now, added: ['a'], problems: [] });
  });
  return came;
}
const asked = (came: readonly [string, unknown][]): string[] =>
  came.map(([what]) => what).filter((what) => ['paths', 'inks', 'import', 'sheets', 'edits'].includes(what));
const bodies = (came: readonly [string, unknown][], of: string): unknown[] =>
  came.filter(([what]) => what === of).map(([, body]) => body);

test('scans that wait for an ink get there at the next try; the ink is made by one request’s name, and takes the later name', async () => {
  const down = new Set(['import']);
  const came = library(down, { ...work(2), ink: { ...card, id: 7, name: 'Hero' } });
  await bring([{ name: 'a.tif', file: new File(['II*'], 'a.tif') }], null);
  expect(isBringing()).toBe(true);
  expect(await giveInk(1, { name: 'Hero', maker: null })).toMatchObject({ code: 'no-connection' });
  down.clear();
  expect(await giveInk(1, { name: 'Heron', maker: null })).toBeNull();
  await vi.waitFor(() => expect(asked(came)).toContain('edits'));
  expect(isBringing()).toBe(false);
  const request = expect.any(String);
  const [first, second] = bodies(came, 'inks');
  expect([first, second]).toEqual([
    { name: 'Hero', maker: null, request },
    { name: 'Heron', maker: null, request },
  ]);
  expect(Reflect.get(Object(first), 'request')).toBe(Reflect.get(Object(second), 'request'));
  expect(bodies(came, 'edits')).toMatchObject([{ edit: { edit: 'changeInk', name: 'Heron' } }]);
  // What came of the first try is not known: that the scan is here already is no trouble.
  expect(bodies(came, 'import')).toMatchObject([{ uploads: [{ isAgain: false }] }, { uploads: [{ isAgain: true }] }]);
});

test('a sheet that the library did not answer to can be sent again, by the same request’s name', async () => {
  const down = new Set(['sheets']);
  const came = library(down);
  const sheet = JSON.stringify({ format: 'wetline-sheet/1', scans: [], regions: [] });
  await bring([{ name: 'sheet.json', file: new File([sheet], 'sheet.json') }], null);
  down.clear();
  sendAgain(2);
  await vi.waitFor(() => expect(isBringing()).toBe(false));
  expect(asked(came)).toEqual(['paths', 'sheets', 'paths', 'sheets']);
  const [first, second] = bodies(came, 'sheets');
  expect(first).toMatchObject({ request: expect.any(String) });
  expect(second).toEqual(first);
});

test('the pages of a folder come as a person counts them, and one that cannot be read takes none with it', async () => {
  const came = library(new Set());
  const file = new File(['II*'], 'a.tif');
  const names = ['p/page-10.tif', 'p/page-9.tif', 'p/page-2.tif'];
  await bring([...names.map((name) => ({ name, file })), { name: 'p/page-1.tif', file: null }], 7);
  expect(bodies(came, 'import')).toMatchObject([{ uploads: names.toReversed().map((name) => ({ name })) }]);
});
