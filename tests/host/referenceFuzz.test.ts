/** Whatever a file holds: values come out, or one clear line. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { decodeText } from '../../electron/files/readText.ts';
import { matchPatches } from '../../electron/sheet/matchPatches.ts';
import { parseLayout } from '../../electron/sheet/layout.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { SheetError } from '../../electron/sheet/sheetError.ts';
import { LAYOUT, REFERENCE } from './smallSheet.ts';

const layout = parseLayout(JSON.stringify(LAYOUT), 'l.json');

/** The message of a refusal; null when the text was read, and then soundly. */
function refusal(text: string): string | null {
  try {
    const reference = parseReference(text, 'r.txt');
    const labs = [...reference.patches.values()].map(({ lab }) => lab);
    if (labs.length === 0 || !labs.flat().every(Number.isFinite)) throw new Error('read, but no sound values');
    matchPatches(layout, reference, 'r.txt');
    return null;
  } catch (error) {
    if (!(error instanceof SheetError)) throw error;
    return error.message;
  }
}

const words = fc.constantFrom(
  ...'BEGIN_DATA_FORMAT END_DATA_FORMAT BEGIN_DATA END_DATA NUMBER_OF_SETS NUMBER_OF_FIELDS SAMPLE_ID sample_name SAMPLE_LOC'.split(
    ' ',
  ),
  ...'LAB_L LAB_A LAB_B XYZ_X XYZ_Y XYZ_Z STDEV_L STDEV_A STDEV_B NM_400 NM_550 NM_700 SPECTRAL_NORM R_380 R_400'.split(
    ' ',
  ),
  ...'ILLUMINANT OBSERVER "D65" D50 F11 10 2 A1 A2 A3 A4 a01 Dmin 50 0,5 1e308 -1e308 1e999 .5 −3 "" "x #'.split(' '),
  '"two words"',
  '"a\u2028b"',
  '\u0085',
  '\0',
);
const separators = fc.constantFrom(' ', '\t', '\n', '\r', '\r\n', '\n\n', '\u2028', '\f');
const likely = fc
  .array(fc.tuple(words, separators), { maxLength: 60 })
  .map((pairs) => pairs.map(([word, after]) => word + after).join(''));
/** A sound text with pieces taken out, put in and doubled. */
const spoilt = fc
  .array(fc.tuple(fc.nat(REFERENCE.length), fc.nat(12), fc.oneof(words, separators, fc.string({ maxLength: 4 }))), {
    minLength: 1,
    maxLength: 4,
  })
  .map((cuts) =>
    cuts.reduce((text, [at, length, put]) => text.slice(0, at) + put + text.slice(at + length), REFERENCE),
  );
/** A table that is right in form, with any values in it. */
const formed = fc
  .record({
    fields: fc.uniqueArray(words, { minLength: 1, maxLength: 8 }),
    header: fc.array(words, { maxLength: 6 }),
    values: fc.array(words, { maxLength: 24 }),
  })
  .map(({ fields, header, values }) => {
    const rows = Array.from({ length: Math.floor(values.length / fields.length) }, (_, i) =>
      values.slice(i * fields.length, (i + 1) * fields.length).join(' '),
    );
    return [
      header.join(' '),
      'BEGIN_DATA_FORMAT',
      fields.join(' '),
      'END_DATA_FORMAT',
      'BEGIN_DATA',
      ...rows,
      'END_DATA',
    ].join('\n');
  });

test.each<[string, fc.Arbitrary<string>]>([
  ['any text', fc.string({ unit: 'binary', maxLength: 300 })],
  ['words of the format in any order', likely],
  ['a sound text spoilt', spoilt],
  ['a table in form', formed],
])('%s', (_, texts) => {
  fc.assert(
    fc.property(texts, (text) => {
      const message = refusal(text);
      expect(message ?? 'r.txt: read').toMatch(/^r\.txt: [^\p{Cc}\p{Zl}\p{Zp}]+$/u);
    }),
    { numRuns: 1500, seed: 20 },
  );
});

test('any bytes', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
      expect(refusal(decodeText(Buffer.from(bytes)))).toMatch(/^r\.txt: \S/);
    }),
    { numRuns: 500, seed: 20 },
  );
});

test('of tables in form some are read: the tests above see both ends', () => {
  const sound = fc.sample(spoilt, { numRuns: 400, seed: 3 }).filter((text) => refusal(text) === null);
  expect(sound.length).toBeGreaterThan(20);
  expect(sound.length).toBeLessThan(380);
});

test.each(['utf16le', 'utf16le without a mark', 'utf8'])('%s', (how) => {
  const text = how.endsWith('mark') || how === 'utf8' ? REFERENCE : `\uFEFF${REFERENCE}`;
  const bytes = Buffer.from(text, how === 'utf8' ? 'utf8' : 'utf16le');
  expect(refusal(decodeText(bytes))).toBeNull();
  const swapped = how === 'utf8' ? bytes : Buffer.from(bytes).swap16();
  expect(refusal(decodeText(swapped))).toBeNull();
});

test('a long file is read at once', () => {
  const rows = Array.from({ length: 200_000 }, (_, i) => `P${i} 50 1 2`);
  const text = `BEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n${rows.join('\n')}\nEND_DATA\n`;
  expect(parseReference(text, 'r.txt').patches.size).toBe(200_000);
  expect(refusal('\n'.repeat(200_000))).toContain('no BEGIN_DATA_FORMAT');
});
