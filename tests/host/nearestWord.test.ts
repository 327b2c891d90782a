import { expect, test } from 'vitest';
import { didYouMean, nearestWord } from '../../electron/nearestWord.ts';

const WORDS = ['measure', 'calibrate', 'check', 'help'];

test.each([
  ['mesure', 'measure'],
  ['maesure', 'measure'],
  ['Calibrate', 'calibrate'],
  ['callibrate', 'calibrate'],
  ['chek', 'check'],
  ['hlep', 'help'],
  ['print', null],
  ['', null],
  ['h', null],
  ['measurement', null],
])('%j is nearest to %j', (found, expected) => expect(nearestWord(found, WORDS)).toBe(expected));

test('says so, or nothing', () => {
  expect(didYouMean('chekc', WORDS)).toBe('; did you mean "check"?');
  expect(didYouMean('print', WORDS)).toBe('');
});
