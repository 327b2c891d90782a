/** An ink that is off the shelf already, because the answer got lost or another window was quicker, can be put back like any. */
import { afterEach, expect, test, vi } from 'vitest';
import { takeOff } from '../../renderer/shelf/removedInks.ts';
import { card } from './emptyWork.ts';

afterEach(() => {
  vi.unstubAllGlobals();
});

test.each<[string, number, string | null]>([
  ['no-such-ink', 404, null],
  ['disk-full', 507, 'disk-full'],
])('taken off, the library says “%s”', async (code, status, refusal) => {
  vi.stubGlobal('window', { location: { hash: '#/' } });
  vi.stubGlobal('localStorage', { getItem: () => null, setItem: () => undefined, removeItem: () => undefined });
  vi.stubGlobal('fetch', async () => Response.json({ code, message: 'no' }, { status }));
  expect((await takeOff(card, 0))?.code ?? null).toBe(refusal);
});
