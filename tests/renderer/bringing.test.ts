/** Files that were brought are not lost when the library does not answer, and the window knows that they are on their way. */
import { afterEach, expect, test, vi } from 'vitest';
import { bring, giveInk, isBringing, sendAgain } from '../../renderer/bring/bringing.ts';
import { card, work } from './emptyWork.ts';

afterEach(() => {
  vi.unstubAllGlobals();
});

/** What came to the library, which answers all but `down`. Files come by their paths, as in the desktop shell. */
function library(down: Set<string>): string[] {
  const came: string[] = [];
  const place = { hash: '#/', pathname: '/' };
  vi.stubGlobal('window', {
    wetline: { pathOf: ({ name }: File) => `/scans/${name}` },
    location: place,
    history: { pushState: (_: null, __: string, hash: string) => void (place.hash = hash) },
  });
  vi.stubGlobal('fetch', async (url: string) => {
    const what = url.split('/').at(-1) ?? '';
    came.push(what);
    if (down.has(what)) throw new TypeError('no answer');
    const kind = came.includes('json') ? 'sheet' : 'scan';
    if (what === 'paths')
      return Response.json([{ name: '', hash: 'a'.repeat(64), kind, problem: null, already: null }]);
    const now = { ...work(2), ink: { ...card, id: 7 } };
    return Response.json(what === 'inks' ? now : { work: now, added: ['a'], problems: [] });
  });
  return came;
}
const asked = (came: readonly string[]): string[] =>
  came.filter((what) => ['paths', 'inks', 'import', 'sheets'].includes(what));

test('an ink that was made for scans takes them at the next try: no second one is made', async () => {
  const down = new Set(['import']);
  const came = library(down);
  const ink = { name: 'Heron', maker: null };
  await bring([{ name: 'a.tif', file: new File(['II*'], 'a.tif') }], null);
  expect(isBringing()).toBe(true);
  expect(await giveInk(1, ink)).toMatchObject({ code: 'no-connection' });
  down.clear();
  expect(await giveInk(1, ink)).toBeNull();
  expect([asked(came), isBringing()]).toEqual([['paths', 'inks', 'import', 'import'], false]);
});

test('a sheet that the library did not answer to can be sent again', async () => {
  const down = new Set(['sheets']);
  const came = library(down);
  came.push('json');
  const sheet = JSON.stringify({ format: 'wetline-sheet/1', scans: [], regions: [] });
  await bring([{ name: 'sheet.json', file: new File([sheet], 'sheet.json') }], null);
  down.clear();
  sendAgain(2);
  await vi.waitFor(() => expect(isBringing()).toBe(false));
  expect(asked(came)).toEqual(['paths', 'sheets', 'paths', 'sheets']);
});
