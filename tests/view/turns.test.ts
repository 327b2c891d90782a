/** Who waits for whom: turns, aborts, pyramids asked for by many, and things kept a while. */
import { describe, expect, test } from 'vitest';
import { Pyramids } from '../../electron/view/pyramids.ts';
import { Recent } from '../../electron/view/recent.ts';
import { Turns } from '../../electron/view/turns.ts';

/** Work that ends when it is told to. */
function works() {
  const started: number[] = [];
  const ends = new Map<number, () => void>();
  const work = (n: number) => (): Promise<number> => {
    started.push(n);
    return new Promise((resolve) => ends.set(n, () => resolve(n)));
  };
  return { started, work, end: (n: number) => ends.get(n)?.() };
}

describe('turns', () => {
  test('so many at once, the others in their order', async () => {
    const turns = new Turns(2);
    const { started, work, end } = works();
    const all = [1, 2, 3, 4].map((n) => turns.take(work(n)));
    await Promise.resolve();
    expect(started).toEqual([1, 2]);
    end(2);
    expect(await all[1]).toBe(2);
    expect(started).toEqual([1, 2, 3]);
    for (const n of [1, 3]) end(n);
    await Promise.all([all[0], all[2]]);
    expect(started).toEqual([1, 2, 3, 4]);
    end(4);
    expect(await all[3]).toBe(4);
  });

  test('what is no longer wanted never starts; what runs is let go, and its place comes free when it ends', async () => {
    const turns = new Turns(1);
    const { started, work, end } = works();
    const [first, second] = [new AbortController(), new AbortController()];
    const running = turns.take(work(1), first.signal);
    const waiting = turns.take(work(2), second.signal);
    const last = turns.take(work(3));
    second.abort(new Error('gone on'));
    await expect(waiting).rejects.toThrow('gone on');
    first.abort(new Error('away'));
    await expect(running).rejects.toThrow('away');
    expect(started).toEqual([1]);
    end(1);
    await Promise.resolve();
    await new Promise(setImmediate);
    expect(started).toEqual([1, 3]);
    end(3);
    expect(await last).toBe(3);
  });

  test('asked with an abort that has been: nothing happens', async () => {
    const { started, work } = works();
    await expect(new Turns(1).take(work(1), AbortSignal.abort(new Error('before')))).rejects.toThrow('before');
    expect(started).toEqual([]);
  });

  test('work that fails gives its place on', async () => {
    const turns = new Turns(1);
    const failing = turns.take(() => Promise.reject(new Error('broken')));
    const next = turns.take(() => Promise.resolve('well'));
    await expect(failing).rejects.toThrow('broken');
    expect(await next).toBe('well');
  });
});

describe('pyramids', () => {
  test('are made once however many ask, one after the other', async () => {
    const made: string[] = [];
    let atOnce = 0;
    let most = 0;
    const pyramids = new Pyramids<{ hash: string }>(async ({ hash }) => {
      made.push(hash);
      most = Math.max(most, ++atOnce);
      await new Promise(setImmediate);
      atOnce--;
      return true;
    });
    const asked = Array.from({ length: 40 }, (_, i) => pyramids.of({ hash: i % 2 ? 'one' : 'two' }));
    expect(await Promise.all(asked)).toEqual(asked.map(() => true));
    expect(made).toEqual(['two', 'one']);
    expect(most).toBe(1);
  });

  test('that cannot be made are no fault, and are not tried again at once', async () => {
    let tries = 0;
    const pyramids = new Pyramids<{ hash: string }>(() => {
      tries++;
      return Promise.reject(new Error('no room'));
    });
    expect(await pyramids.of({ hash: 'one' })).toBe(false);
    expect(await pyramids.of({ hash: 'one' })).toBe(false);
    expect(tries).toBe(1);
  });
});

test('the few things used last are kept; what falls out is handed over', () => {
  const left: number[] = [];
  const recent = new Recent<number>(2, (thing) => left.push(thing));
  recent.set('a', 1);
  recent.set('b', 2);
  expect(recent.get('a')).toBe(1);
  recent.set('c', 3);
  expect([recent.get('a'), recent.get('b'), recent.get('c')]).toEqual([1, undefined, 3]);
  recent.set('a', 4);
  expect(left).toEqual([2, 1]);
});
