/** A thread's rooms for pixels: kept from one region to the next, never shared by two at once. */
import { expect, test } from 'vitest';
import { withRoom } from '../../electron/jobs/keptRoom.ts';

const WIDTH = 600;
const pixelsOf = (height: number) =>
  withRoom([0, 0, WIDTH, height], (rooms) => Promise.resolve(rooms.floats(3 * WIDTH * height)));

test('are as long as is asked for, and the same memory for the next region that it is large enough for', async () => {
  const first = await pixelsOf(50);
  const smaller = await pixelsOf(30);
  const larger = await pixelsOf(90);
  expect([first, smaller, larger].map((room) => room.length)).toEqual([90_000, 54_000, 162_000]);
  expect([smaller.buffer === first.buffer, larger.buffer === first.buffer]).toEqual([true, false]);
});

test('are nobody else’s until the work has ended, well or badly', async () => {
  const held = withRoom([0, 0, WIDTH, 50], async (rooms) => {
    const own = rooms.floats(3 * WIDTH * 50);
    return [own.buffer === (await pixelsOf(50)).buffer, own.buffer] as const;
  });
  const [shared, buffer] = await held;
  expect(shared).toBe(false);
  await expect(
    withRoom([0, 0, WIDTH, 50], (rooms) => {
      rooms.floats(3 * WIDTH * 50);
      return Promise.reject(new Error('no file'));
    }),
  ).rejects.toThrow('no file');
  expect((await pixelsOf(50)).buffer).toBe(buffer);
});

test('of a large region are let go with it', async () => {
  const before = (await pixelsOf(50)).buffer;
  const large = await withRoom([0, 0, 2001, 2000], (rooms) => Promise.resolve(rooms.floats(3 * WIDTH * 50)));
  expect(large.buffer === before).toBe(false);
  expect((await pixelsOf(50)).buffer).toBe(before);
});
