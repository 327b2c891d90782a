import { expect, test } from 'vitest';
import { undrawnWords, withoutUndrawn } from '../../renderer/look/undrawn.ts';

test('signs that no font has are told by their numbers, the first three and how many more', () => {
  expect(undrawnWords([])).toBeNull();
  expect(undrawnWords(['墨'])).toMatch(/^No font on this computer has a sign of the names here \(U\+58A8\): a box /);
  expect(undrawnWords(['\u{1F989}', '墨', '水', '黒', 'い'])).toContain('(U+1F989, U+58A8, U+6C34 and 2 more): boxes');
});

test('a picture that leaves the window has the number in place of the box, and nothing else is touched', () => {
  expect(withoutUndrawn('<text>Owl \u{1F989} 墨水 ☺</text>', ['\u{1F989}', '墨'])).toBe(
    '<text>Owl [U+1F989] [U+58A8]水 ☺</text>',
  );
});
