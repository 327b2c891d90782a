import { expect, test } from 'vitest';
import { Kept } from '../../renderer/api/kept.ts';

test('what is kept is read by its key, and told when it changes; the same once more is no change', () => {
  const none = { steps: 0 };
  const kept = new Kept<string, { readonly steps: number }>(none);
  let told = 0;
  const leave = kept.subscribe(() => told++);
  expect(kept.get('1/white')).toBe(none);
  const two = { steps: 2 };
  kept.put('1/white', two);
  kept.put('1/white', two);
  expect([kept.get('1/white'), kept.get('2/white'), told]).toEqual([two, none, 1]);
  kept.drop('1/white');
  kept.drop('1/white');
  expect([kept.get('1/white'), told]).toEqual([none, 2]);
  kept.put('1/white', two);
  kept.dropAll();
  expect([kept.get('1/white'), told]).toEqual([none, 4]);
  leave();
  kept.put('1/white', two);
  expect([kept.get('1/white'), told]).toEqual([two, 4]);
});
