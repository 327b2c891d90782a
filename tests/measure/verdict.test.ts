import fc from 'fast-check';
import { expect, test } from 'vitest';
import { AMOUNT_WORDS, HALO_LIMITS, HALO_WORDS, SHADING_LIMITS, verdict } from '../../analysis/measure/verdict.ts';

test.each([
  [0, 'none'],
  [0.99, 'none'],
  [1, 'faint'],
  [2.49, 'faint'],
  [2.5, 'clear'],
  [5, 'strong'],
  [40, 'strong'],
])('%f with hardly any doubt is %s', (value, word) => {
  expect(verdict(value, 0.01, SHADING_LIMITS)).toBe(word);
});

test('doubt larger than half the word’s own step says so', () => {
  expect(verdict(1.7, 0.8, SHADING_LIMITS)).toBe('cannot tell');
  expect(verdict(0.9, 0.6, SHADING_LIMITS)).toBe('cannot tell');
  expect(verdict(6, 2, SHADING_LIMITS)).toBe('cannot tell');
});

test('a word of only two is doubted on both sides of its one limit', () => {
  const word = (value: number, u: number): string => verdict(value, u, HALO_LIMITS, HALO_WORDS);
  expect([word(0.07, 0.05), word(0.09, 0.05)]).toEqual(['cannot tell', 'cannot tell']);
  expect([word(0.07, 0.03), word(0.09, 0.03), word(0.3, 0.05)]).toEqual(['none', 'present', 'present']);
});

test('doubt that stays within the word does not matter', () => {
  expect(verdict(20, 3, SHADING_LIMITS)).toBe('strong');
});

test('other limits give other words', () => {
  expect(verdict(3, 0.01, [4, 6, 8])).toBe('none');
});

test('a larger value never gets a smaller word', () => {
  fc.assert(
    fc.property(fc.double({ min: 0, max: 30, noNaN: true }), fc.double({ min: 0, max: 30, noNaN: true }), (a, b) => {
      const rank = (v: number) => AMOUNT_WORDS.findIndex((word) => word === verdict(v, 0, SHADING_LIMITS));
      expect(rank(Math.min(a, b))).toBeLessThanOrEqual(rank(Math.max(a, b)));
    }),
    { seed: 3 },
  );
});
