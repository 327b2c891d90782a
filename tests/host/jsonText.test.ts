/** The JSON reader against the language's own, on random texts: it must take and refuse the same ones. */
import * as fc from 'fast-check';
import { isDeepStrictEqual } from 'node:util';
import { expect, test } from 'vitest';
import { parseJson } from '../../electron/sheet/jsonText.ts';
import { SheetError } from '../../electron/sheet/sheetError.ts';

function own(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return SheetError;
  }
}

function ours(text: string): unknown {
  try {
    return parseJson(text, 'x');
  } catch (error) {
    if (error instanceof SheetError && error.message.includes('a second time')) return 'a key twice';
    return error instanceof SheetError ? SheetError : error;
  }
}

/** Ours may refuse a key that stands twice; beyond that the two agree. */
function agree(text: string): boolean {
  const found = ours(text);
  return found === 'a key twice' || isDeepStrictEqual(found, own(text));
}

const MARKS = '{ } [ ] " , : \\ 0 - . e E + t f n / * \n \t \u0001'.split(' ').concat(' ');

test('what is JSON is read as JSON.parse reads it', () => {
  const laidOut = fc.tuple(fc.json(), fc.integer({ min: 0, max: 3 }));
  const property = fc.property(laidOut, ([text, indent]) => agree(JSON.stringify(JSON.parse(text), null, indent)));
  expect(fc.check(property, { seed: 1, numRuns: 300 }).counterexample).toBeNull();
});

test('with a character changed, left out or put in, both refuse or both read', () => {
  const slip = fc.tuple(fc.json(), fc.nat(), fc.constantFrom(...MARKS), fc.nat(2));
  const property = fc.property(slip, ([text, place, mark, kind]) => {
    const at = place % (text.length + 1);
    return agree(text.slice(0, at) + (kind === 2 ? '' : mark) + text.slice(at + (kind > 0 ? 1 : 0)));
  });
  expect(fc.check(property, { seed: 2, numRuns: 2000 }).counterexample).toBeNull();
});

test('brackets without end are told in one line', () => {
  const nested = (depth: number) => `${'['.repeat(depth)}1${']'.repeat(depth)}`;
  expect(parseJson(nested(50), 'a.json')).toBeInstanceOf(Array);
  expect(() => parseJson(nested(20_000), 'a.json')).toThrow(
    'a.json: line 1, column 101: more than 100 brackets within',
  );
});
