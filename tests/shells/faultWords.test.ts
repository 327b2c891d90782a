import { expect, test } from 'vitest';
import { LibraryError } from '../../electron/library/libraryError.ts';
import { faultWords } from '../../electron/shells/faultWords.ts';

test('what a person can mend is one line, a defect says where in the program', () => {
  const full = new LibraryError('storage-full', 'white.png: the disk is full; expected room for it. Free some space.');
  expect(faultWords(full)).toBe('wetline: white.png: the disk is full; expected room for it. Free some space.\n');
  expect(faultWords(new TypeError('no such thing'))).toMatch(/^wetline: unexpected: TypeError: no such thing\n +at /);
});
