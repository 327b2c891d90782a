/** What is done to regions one after another reaches the library in that order, and is in sight until it is there. */
import { afterEach, expect, test, vi } from 'vitest';
import type { Edit, SheetRegion } from '../../electron/backend/api.ts';
import { takeWork } from '../../renderer/api/store.ts';
import { regionDrafts, regionsInHand } from '../../renderer/scans/regionsInHand.ts';
import { work } from './emptyWork.ts';
import { held, turn } from './heldAnswer.ts';

afterEach(() => {
  vi.unstubAllGlobals();
});

const ef: SheetRegion = { id: 'ef', scan: 'white', kind: 'strokes', boxMm: [1, 2, 30, 10] };
const m: SheetRegion = { ...ef, id: 'm' };
const at = (leftMm: number, region: SheetRegion): SheetRegion => ({ ...region, boxMm: [leftMm, 2, 30, 10] });

/** A library that answers each edit when the test lets it. */
function slowLibrary() {
  const sent: Edit[] = [];
  const answers: { resolve: (now: readonly SheetRegion[]) => void }[] = [];
  let revision = 1;
  vi.stubGlobal('fetch', async (url: string, { body }: { readonly body?: string } = {}) => {
    if (!url.endsWith('/edits') || body === undefined)
      return Response.json({ code: 'none', message: '' }, { status: 503 });
    const { edit }: { edit: Edit } = JSON.parse(body);
    sent.push(edit);
    const answer = held<readonly SheetRegion[]>();
    answers.push(answer);
    const regions = (await answer.promise).map((region) => ({ region, problem: null, measured: 'never' }));
    return Response.json({ ...work(++revision), regions, overtook: null });
  });
  return {
    sent: () =>
      sent.map((one) => ('region' in one ? `${one.edit} ${one.region.id} ${one.region.boxMm?.[0]}` : one.edit)),
    answer: async (...now: readonly SheetRegion[]) => {
      await vi.waitUntil(() => answers.length > 0, { interval: 1 });
      answers.shift()?.resolve(now);
      await turn();
    },
  };
}

test('presses that wait go before what is done after them, once, and as one', async () => {
  const library = slowLibrary();
  takeWork(11, {
    ...work(1),
    regions: [at(1, ef), at(50, m)].map((region) => ({ region, problem: null, measured: 'never' })),
  });
  const inHand = regionsInHand(11);
  const move = (region: SheetRegion, from: number, to: number): void => {
    inHand.preview([at(to, region)], { regions: [at(from, region)], revision: 1 });
    inHand.save();
  };
  move(ef, 1, 2);
  move(m, 50, 51);
  move(ef, 2, 3);
  move(m, 51, 52);
  move(ef, 3, 4);
  const added = inHand.add(at(70, { ...ef, id: 'b' }));
  for (const [left, other] of [
    [2, 50],
    [2, 51],
    [4, 51],
    [4, 52],
  ])
    await library.answer(at(left, ef), at(other, m));
  await library.answer(at(4, ef), at(52, m), at(70, { ...ef, id: 'b' }));
  expect(await added).toBe(true);
  expect(library.sent()).toEqual([
    'changeRegion ef 2',
    'changeRegion m 51',
    'changeRegion ef 4',
    'changeRegion m 52',
    'addRegion b 70',
  ]);
  expect(regionDrafts.get(11).made.size).toBe(0);
});

test('what is taken away is out of sight at once, and nothing is done to it any more', async () => {
  const library = slowLibrary();
  takeWork(12, { ...work(1), regions: [{ region: ef, problem: null, measured: 'never' }] });
  const inHand = regionsInHand(12);
  inHand.remove(['ef']);
  inHand.preview([at(2, ef)], { regions: [ef], revision: 1 });
  inHand.save();
  expect([...regionDrafts.get(12).leaving]).toEqual(['ef']);
  await turn();
  await library.answer();
  expect([library.sent(), regionDrafts.get(12)]).toEqual([
    ['removeRegions'],
    { made: new Map(), inHand: new Map(), leaving: new Set() },
  ]);
});
