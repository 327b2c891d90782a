import { expect, test, vi } from 'vitest';
import type { Job, WindowEvent, Work } from '../../electron/backend/api.ts';
import { ApiProblem, getHello, problemIn, withChanges } from '../../renderer/api/client.ts';
import { parseEvent, readEvents } from '../../renderer/api/readEvents.ts';
import { Resource } from '../../renderer/api/resource.ts';
import { laterJob } from '../../renderer/api/laterJob.ts';
import { jobWords } from '../../renderer/frame/jobWords.ts';
import { card, work } from './emptyWork.ts';
import { held, turn } from './heldAnswer.ts';

const job = (change: Partial<Job> = {}): Job => ({
  id: 'j1',
  ink: 1,
  state: 'running',
  done: 0,
  total: 8,
  what: 'looking for bare paper',
  measured: 0,
  kept: 0,
  problem: null,
  ...change,
});

test('of a shelf that is held only what changed is new: tiles of the others are not drawn again', () => {
  const inks = [card, { ...card, id: 2, name: 'Plum Dusk' }, { ...card, id: 3, name: 'Gone Green' }];
  const renamed = { ...card, id: 2, name: 'Plum Dawn' };
  const fresh = { ...card, id: 4, name: 'New Blue' };
  const names = { papers: [{ name: 'laid', lab: null }], nibs: [], removed: [] };
  const next = withChanges(
    { stamp: 'a/3', inks, papers: [], nibs: [], removed: [] },
    { stamp: 'a/5', order: [4, 2, 1], changed: [renamed, fresh], ...names },
  );
  expect(next).toEqual({ stamp: 'a/5', inks: [fresh, renamed, card], ...names });
  expect(next.inks[2]).toBe(card);
});

test('a value is fetched when somebody looks, and shown while a newer one is on its way', async () => {
  const answers = [held<string>(), held<string>()];
  let asked = 0;
  const resource = new Resource<number, string>(() => answers[asked++].promise);
  let told = 0;
  const leave = resource.subscribe(7, () => told++);
  expect(resource.read(7)).toEqual({ state: 'loading' });
  answers[0].resolve('old');
  await turn();
  expect(resource.read(7)).toEqual({ state: 'ready', value: 'old' });
  resource.invalidate(7);
  expect(resource.read(7)).toEqual({ state: 'ready', value: 'old' });
  answers[1].resolve('new');
  await turn();
  expect(resource.value(7)).toBe('new');
  expect([asked, told]).toEqual([2, 2]);
  leave();
  resource.invalidate(7);
  expect(asked).toBe(2);
});

test('marked as old while it is on its way, it is fetched once more', async () => {
  const answers = [held<string>(), held<string>()];
  let asked = 0;
  const resource = new Resource<number, string>(() => answers[asked++].promise);
  resource.subscribe(1, () => undefined);
  // Before it has begun there is nothing old about it.
  resource.invalidate(1);
  await turn();
  expect(asked).toBe(1);
  resource.invalidate(1);
  resource.invalidate(1);
  expect(asked).toBe(1);
  answers[0].resolve('old');
  await expect.poll(() => asked).toBe(2);
  answers[1].resolve('new');
  await turn();
  expect(resource.value(1)).toBe('new');
});

test('a lost connection leaves the old value in sight; any other failure is told; the next look asks again', async () => {
  const outcomes: (string | ApiProblem)[] = [
    'first',
    new ApiProblem({ code: 'no-connection', message: 'gone' }),
    new ApiProblem({ code: 'no-such-ink', message: 'No ink 1.' }, 404),
    'back',
  ];
  const resource = new Resource<number, string>(() => {
    const outcome = outcomes.shift() ?? 'too often';
    return typeof outcome === 'string' ? Promise.resolve(outcome) : Promise.reject(outcome);
  });
  const leave = resource.subscribe(1, () => undefined);
  await turn();
  resource.invalidate(1);
  await turn();
  expect(resource.read(1)).toEqual({ state: 'ready', value: 'first' });
  resource.invalidate(1);
  await turn();
  expect(resource.read(1)).toEqual({ state: 'failed', problem: { code: 'no-such-ink', message: 'No ink 1.' } });
  leave();
  resource.subscribe(1, () => undefined);
  await turn();
  expect(resource.value(1)).toBe('back');
  expect(outcomes).toEqual([]);
});

test('an answer that says nothing of the value leaves the old one in sight and is asked for again; so often, then it is told', async () => {
  vi.useFakeTimers();
  try {
    const busy = new ApiProblem({ code: 'given-up', message: 'Given up; ask again.' }, 503);
    const outcomes: (string | ApiProblem)[] = [
      busy,
      'first',
      busy,
      'second',
      busy,
      busy,
      busy,
      busy,
      busy,
      'too often',
    ];
    const resource = new Resource<number, string>(() => {
      const outcome = outcomes.shift() ?? 'none left';
      return typeof outcome === 'string' ? Promise.resolve(outcome) : Promise.reject(outcome);
    });
    const leave = resource.subscribe(1, () => undefined);
    await vi.advanceTimersByTimeAsync(500);
    // Nothing is held: why not stands there, and goes by itself.
    expect(resource.read(1)).toMatchObject({ state: 'failed', problem: { code: 'given-up' } });
    await vi.advanceTimersByTimeAsync(1000);
    expect(resource.value(1)).toBe('first');
    resource.invalidate(1);
    await vi.advanceTimersByTimeAsync(500);
    expect(resource.value(1)).toBe('first');
    await vi.advanceTimersByTimeAsync(1000);
    expect(resource.value(1)).toBe('second');
    resource.invalidate(1);
    await vi.advanceTimersByTimeAsync(14_000);
    expect(resource.value(1)).toBe('second');
    await vi.advanceTimersByTimeAsync(60_000);
    expect(resource.read(1)).toMatchObject({ state: 'failed', problem: { code: 'given-up' } });
    expect(outcomes).toEqual(['too often']);
    // Nobody looks: nobody asks.
    leave();
    resource.invalidate(1);
    await vi.advanceTimersByTimeAsync(60_000);
    expect(outcomes).toEqual(['too often']);
  } finally {
    vi.useRealTimers();
  }
});

test('an answer that was overtaken is passed over', () => {
  const resource = new Resource<number, Work>(
    () => new Promise(() => undefined),
    (next, now) => next.revision < now.revision,
  );
  resource.accept(1, work(5));
  resource.accept(1, work(4));
  expect(resource.value(1)?.revision).toBe(5);
  resource.accept(1, work(6));
  expect(resource.value(1)?.revision).toBe(6);
});

test('a job that has ended does not run again, and progress does not go back', () => {
  const ended = job({ state: 'done', done: 8 });
  expect(laterJob(ended, job({ done: 7 }))).toBe(ended);
  const five = job({ done: 5 });
  expect(laterJob(five, job({ done: 4 }))).toBe(five);
  expect(laterJob(five, ended)).toBe(ended);
  const next = job({ id: 'j2' });
  expect(laterJob(ended, next)).toBe(next);
  expect(laterJob(null, five)).toBe(five);
});

test('a measurement is told at each quarter and at its end', () => {
  expect(jobWords(null, job())).toBeNull();
  expect(jobWords(job({ done: 1 }), job({ done: 2 }))).toBe('Measuring: 2 of 8.');
  expect(jobWords(job({ done: 2 }), job({ done: 3 }))).toBeNull();
  expect(jobWords(job({ done: 7 }), job({ state: 'done', done: 8, measured: 1, kept: 7 }))).toBe(
    'Measured. 1 step anew, 7 still true.',
  );
  expect(jobWords(job(), job({ state: 'done', kept: 8 }))).toBe('Nothing had to be measured anew.');
  expect(jobWords(job(), job({ state: 'cancelled' }))).toContain('kept');
  expect(jobWords(job(), job({ state: 'failed', problem: 'white.tif is gone.' }))).toBe(
    'Measuring stopped: white.tif is gone.',
  );
  expect(jobWords(null, job({ state: 'done' }))).toBeNull();
});

test.each([
  ['{"event":"shelf"}', { event: 'shelf' }],
  ['{"event":"work","ink":1,"revision":4}', { event: 'work', ink: 1, revision: 4 }],
  ['{"event":"of-a-newer-program"}', null],
  ['null', null],
  ['[]', null],
  ['"shelf"', null],
  ['{"event":', null],
])('the event %s', (data, event) => {
  expect(parseEvent(data)).toEqual(event);
});

test('events come whole out of a stream that is cut anywhere, also within a letter', async () => {
  const told: WindowEvent[] = [
    { event: 'job', job: job({ what: 'swab “größer”: light – dark' }) },
    { event: 'findings', ink: 1, regions: ['schrägstrich', 'ef'] },
    { event: 'shelf' },
  ];
  const bytes = new TextEncoder().encode(
    `: here\n\n${told.map((e) => `data: ${JSON.stringify(e)}\n\n`).join(': here\n\n')}`,
  );
  for (const step of [1, 3, 64, bytes.length]) {
    const body = new ReadableStream<Uint8Array>({
      start(controller) {
        for (let at = 0; at < bytes.length; at += step) controller.enqueue(bytes.slice(at, at + step));
        controller.close();
      },
    });
    const heard: WindowEvent[] = [];
    let signs = 0;
    await readEvents(
      body,
      (event) => heard.push(event),
      () => signs++,
    );
    expect(heard).toEqual(told);
    expect(signs).toBe(Math.ceil(bytes.length / step));
  }
});

test('an answer that is cut off on its way is none: what is held stays', async () => {
  vi.stubGlobal('fetch', async () => new Response('{"library": "/in'));
  await expect(getHello()).rejects.toMatchObject({ code: 'no-connection', status: 0 });
  vi.unstubAllGlobals();
});

test('an answer without words still says something', async () => {
  expect(await problemIn(Response.json({ code: 'id-twice', message: 'Twice.' }, { status: 422 }))).toEqual({
    code: 'id-twice',
    message: 'Twice.',
  });
  const bare = await problemIn(new Response('<h1>Bad gateway</h1>', { status: 502 }));
  expect(bare.code).toBe('status-502');
  expect(bare.message).toContain('502');
});
