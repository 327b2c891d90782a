import { expect, test } from 'vitest';
import { KeptRooms } from '../../analysis/raster/rooms.ts';

const MANY = 100_000;

test('one piece of work is never given a room twice', () => {
  const rooms = new KeptRooms();
  for (let round = 0; round < 2; round++) {
    const buffers = [rooms.floats(MANY), rooms.zeroFloats(MANY), rooms.bytes(4 * MANY), rooms.zeroBytes(4 * MANY)];
    expect(new Set(buffers.map(({ buffer }) => buffer)).size).toBe(4);
    rooms.letGo();
  }
});

test('what is asked for zeroed is, whatever was in the room before', () => {
  const rooms = new KeptRooms();
  const before = rooms.floats(MANY).fill(7);
  rooms.letGo();
  expect(rooms.floats(MANY).every((v) => v === 7)).toBe(true);
  for (const zeroed of [
    () => rooms.zeroFloats(MANY - 1),
    () => rooms.zeroCounts(2 * MANY),
    () => rooms.zeroBytes(4 * MANY),
  ]) {
    rooms.letGo();
    before.fill(7);
    const room = zeroed();
    expect(room.buffer).toBe(before.buffer);
    expect(room.every((v: number) => v === 0)).toBe(true);
  }
});

test('the smallest room that is large enough is given, none that is far too large, and idle ones are let go', () => {
  const rooms = new KeptRooms();
  const [large, small] = [rooms.floats(3 * MANY), rooms.floats(MANY)];
  rooms.letGo();
  expect(rooms.floats(MANY - 5).buffer).toBe(small.buffer);
  expect([large.buffer, small.buffer]).not.toContain(rooms.floats(MANY).buffer);
  rooms.letGo();
  expect(rooms.floats(3 * MANY).buffer === large.buffer).toBe(false);
});
