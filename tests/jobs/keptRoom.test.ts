/** A thread's room for pixels: kept from one region to the next, never shared by two at once. */
import { expect, test } from 'vitest';
import type { LinearRoom } from '../../analysis/calibrate/apply.ts';
import { withRoom } from '../../electron/jobs/keptRoom.ts';

const roomOf = (width: number, height: number) => withRoom([0, 0, width, height], (room) => Promise.resolve(room));
const lengths = ({ data, clipped }: LinearRoom) => [data.length, clipped.length];

test('is as long as the region, and the same memory for the next one that it is large enough for', async () => {
  const first = await roomOf(60, 50);
  const smaller = await roomOf(40, 30);
  const larger = await roomOf(90, 50);
  expect([first, smaller, larger].map(lengths)).toEqual([
    [9000, 3000],
    [3600, 1200],
    [13_500, 4500],
  ]);
  expect([smaller.data.buffer === first.data.buffer, larger.data.buffer === first.data.buffer]).toEqual([true, false]);
});

test('is nobody else’s until the work has ended, well or badly', async () => {
  const held = withRoom([0, 0, 60, 50], async (room) => {
    const beside = await roomOf(60, 50);
    return [room.data.buffer === beside.data.buffer, room.data.buffer] as const;
  });
  const [shared, buffer] = await held;
  expect(shared).toBe(false);
  await expect(withRoom([0, 0, 60, 50], () => Promise.reject(new Error('no file')))).rejects.toThrow('no file');
  expect((await roomOf(60, 50)).data.buffer).toBe(buffer);
});

test('of a large region is let go with it', async () => {
  const before = (await roomOf(60, 50)).data.buffer;
  const [width, height] = [2001, 2000];
  expect(lengths(await roomOf(width, height))[1]).toBe(width * height);
  expect((await roomOf(60, 50)).data.buffer).toBe(before);
});
