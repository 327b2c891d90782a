/** Edits on their way to the library: in their order, not twice, and not lost. */
import { expect, test, vi } from 'vitest';
import type { Problem, Work } from '../../electron/backend/api.ts';
import { ApiProblem } from '../../renderer/api/client.ts';
import { LET_GO, SaveQueue } from '../../renderer/api/saveQueue.ts';
import { work } from './emptyWork.ts';
import { held, turn } from './heldAnswer.ts';

test('edits go one after another, and are saved only when the library has answered', async () => {
  const taken: number[] = [];
  const queue = new SaveQueue((_, { revision }) => taken.push(revision));
  const [first, second] = [held<Work>(), held<Work>()];
  const sent: string[] = [];
  const send = (name: string, answer: Promise<Work>) => ({ send: () => (sent.push(name), answer) });
  const one = queue.add(1, send('one', first.promise));
  const two = queue.add(1, send('two', second.promise));
  await turn();
  expect(sent).toEqual(['one']);
  expect(queue.read(1)).toEqual({ state: 'saving' });
  expect(queue.read(2)).toEqual({ state: 'saved' });
  expect(queue.unsaved()).toBe(true);
  first.resolve(work(2));
  expect(await one).toBeNull();
  second.resolve(work(3));
  expect(await two).toBeNull();
  expect(taken).toEqual([2, 3]);
  expect(queue.read(1)).toEqual({ state: 'saved' });
  expect(queue.unsaved()).toBe(false);
});

test('what did not reach the library is kept and sent again in its order; what it refused is not; each is answered when it is over', async () => {
  const queue = new SaveQueue(() => undefined);
  const lost: Problem = { code: 'no-connection', message: 'gone' };
  const isRefused: Problem = { code: 'id-twice', message: '“ef” is there already.' };
  let isUp = false;
  const sent: string[] = [];
  const answered: [string, Problem | null][] = [];
  const add = async (name: string, { ink = 1, refused = false } = {}): Promise<void> => {
    const send = (): Promise<Work> => {
      sent.push(name);
      if (!isUp) return Promise.reject(new ApiProblem(lost));
      return refused ? Promise.reject(new ApiProblem(isRefused, 422)) : Promise.resolve(work(2));
    };
    answered.push([name, await queue.add(ink, { send })]);
  };
  void add('one');
  void add('two', { refused: true });
  void add('undo');
  await queue.settled(1);
  // None of them is over.
  expect(answered).toEqual([]);
  expect(queue.read(1)).toEqual({ state: 'failed', problem: lost, count: 3 });
  isUp = true;
  queue.again(1);
  await queue.settled(1);
  // While the first does not get there, none of the others may.
  expect(sent.splice(0)).toEqual(['one', 'one', 'one', 'one', 'two', 'undo']);
  expect(answered.splice(0)).toEqual([
    ['one', null],
    ['two', isRefused],
    ['undo', null],
  ]);
  expect(queue.read(1)).toEqual({ state: 'saved' });

  // The program is back: of all inks, without being asked.
  isUp = false;
  void add('of 1');
  void add('of 2', { ink: 2 });
  await Promise.all([queue.settled(1), queue.settled(2)]);
  isUp = true;
  queue.allAgain();
  await Promise.all([queue.settled(1), queue.settled(2)]);
  expect([queue.unsaved(), ...sent.slice(-2)]).toEqual([false, 'of 1', 'of 2']);

  await add('at once', { refused: true });
  expect([queue.read(1).state, answered.at(-1)]).toEqual(['saved', ['at once', isRefused]]);

  isUp = false;
  const three = add('three');
  await queue.settled(1);
  queue.giveUp(1);
  expect(queue.read(1)).toEqual({ state: 'saved' });
  await three;
  expect(answered.at(-1)).toEqual(['three', LET_GO]);
});

test('what is done after a change that did not reach the library stands after it; undo takes back that change, not the one before', async () => {
  const queue = new SaveQueue(() => undefined);
  const reached: string[] = [];
  const outcomes: ('lost' | 'refused')[] = ['lost'];
  const send = (name: string) => ({
    send: () => {
      const outcome = outcomes.shift();
      if (outcome === 'lost') return Promise.reject(new ApiProblem({ code: 'no-connection', message: 'gone' }));
      if (outcome === 'refused') return Promise.reject(new ApiProblem({ code: 'no-such-region', message: 'no' }, 404));
      reached.push(name);
      return Promise.resolve(work(2));
    },
  });
  const first = queue.add(1, send('to 10 mm'));
  expect(await queue.add(1, send('to 12 mm'))).toBeNull();
  expect(await first).toBeNull();
  expect(reached).toEqual(['to 10 mm', 'to 12 mm']);

  outcomes.push('lost');
  void queue.add(1, send('to 14 mm'));
  await queue.add(1, send('undo'));
  expect(reached.slice(2)).toEqual(['to 14 mm', 'undo']);

  // Asked for again while another is on its way, it still goes first; one that is refused now holds nothing up.
  outcomes.push('lost', 'refused');
  void queue.add(1, send('to 16 mm'));
  await queue.settled(1);
  const next = queue.add(1, send('to 18 mm'));
  queue.again(1);
  expect(await next).toBeNull();
  await queue.settled(1);
  expect(reached.slice(4)).toEqual(['to 18 mm']);
  expect(queue.read(1)).toEqual({ state: 'saved' });
});

test('what did not reach the library is tried again by itself, in growing pauses; a refusal by then is told', async () => {
  vi.useFakeTimers();
  const told: string[] = [];
  const queue = new SaveQueue(
    () => undefined,
    (ink, { code }) => told.push(`${ink} ${code}`),
  );
  const lost = new ApiProblem({ code: 'no-connection', message: 'gone' });
  const outcomes: ApiProblem[] = [lost, lost, lost, lost];
  let tries = 0;
  const save = {
    send: () => {
      tries++;
      const problem = outcomes.shift();
      return problem ? Promise.reject(problem) : Promise.resolve(work(2));
    },
  };
  void queue.add(1, save);
  await queue.settled(1);
  const triesAfter: number[] = [];
  for (const wait of [999, 1, 1999, 1, 3999, 1]) {
    await vi.advanceTimersByTimeAsync(wait);
    triesAfter.push(tries);
    // A try that nobody asked for does not make the notice come and go.
    expect(queue.read(1)).toMatchObject({ state: 'failed', count: 1 });
  }
  expect(triesAfter).toEqual([1, 2, 2, 3, 3, 4]);
  await vi.advanceTimersByTimeAsync(8000);
  expect([tries, queue.read(1).state]).toEqual([5, 'saved']);

  outcomes.push(lost, new ApiProblem({ code: 'no-such-scan', message: 'gone for good' }, 404));
  void queue.add(1, save);
  await vi.advanceTimersByTimeAsync(1000);
  expect([told, queue.read(1).state]).toEqual([['1 no-such-scan'], 'saved']);
  // Let go, it is not tried again.
  outcomes.push(lost);
  void queue.add(1, save);
  await queue.settled(1);
  queue.giveUp(1);
  await vi.advanceTimersByTimeAsync(60_000);
  expect(tries).toBe(8);
  // What fails after several were let go is tried as soon as any other.
  outcomes.push(lost, lost, lost);
  void queue.add(1, save);
  await vi.advanceTimersByTimeAsync(1000);
  queue.giveUp(1);
  void queue.add(1, save);
  await queue.settled(1);
  expect(tries).toBe(11);
  await vi.advanceTimersByTimeAsync(1000);
  expect([tries, queue.read(1).state]).toEqual([12, 'saved']);
  vi.useRealTimers();
});

test('each edit is sent with what the library answered to the one before it in the row', async () => {
  const queue = new SaveQueue(() => undefined);
  const latest: (number | null)[] = [];
  const save = (revision: number) => ({
    send: (before: Work | null) => {
      latest.push(before?.revision ?? null);
      return Promise.resolve(work(revision));
    },
  });
  await Promise.all([queue.add(1, save(5)), queue.add(1, save(6)), queue.add(2, save(9))]);
  await queue.add(1, save(7));
  expect(latest).toEqual([null, null, 5, null]);
});
