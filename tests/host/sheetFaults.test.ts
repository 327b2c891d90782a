/** Faults of the sheet itself: each is refused with its place and, where one is near, the word that was meant. */
import { describe, expect, test } from 'vitest';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { testFolder } from './folder.ts';
import { soundSheet } from './smallSheet.ts';

const folder = testFolder();

type Sound = ReturnType<typeof soundSheet>;

function put(change: (sheet: Sound) => unknown): string {
  const sheet = soundSheet();
  change(sheet);
  return folder.put('sheet.json', JSON.stringify(sheet));
}

describe('what is wrong with the sheet itself is refused, with its path', () => {
  test.each<[string, (s: Sound) => unknown, string, string[]]>([
    [
      'a newer format',
      (s) => (s.format = 'wetline-sheet/2'),
      'sheet-format',
      ['"wetline-sheet/2"', '"wetline-sheet/1"', 'A newer Wetline wrote it'],
    ],
    ['another format', (s) => (s.format = 'wetline-findings/1'), 'sheet-format', ['Is this the sheet?']],
    [
      'an unknown key at the top',
      (s) => Object.assign(s, { scan: [] }),
      'sheet-invalid',
      ['scan: unknown key', 'did you mean "scans"?'],
    ],
    [
      'an unknown key in a region',
      (s) => Object.assign(s.regions[1], { nibWdithMm: 1 }),
      'sheet-invalid',
      ['regions[1].nibWdithMm (region "ef"): unknown key', 'did you mean "nibWidthMm"?'],
    ],
    [
      'a band that is none and joined at once',
      (s) =>
        Object.assign(s.regions[0], { id: 'fresh', kind: 'strip', bands: [{ rF: 0.4, removed: true, with: 0.5 }] }),
      'sheet-invalid',
      ['regions[0].bands[0] (region "fresh"): found {"rF":0.4', 'expected one of { "rF": 0.42 }, '],
    ],
    [
      'a key of another kind of region',
      (s) => Object.assign(s.regions[0], { nib: 'EF' }),
      'sheet-invalid',
      ['regions[0].nib', 'unknown key; expected one of id, scan, boxMm, paper, kind.'],
    ],
    [
      'an id that names a folder',
      (s) => (s.regions[1].id = '..'),
      'sheet-invalid',
      ['regions[1].id', 'found ".."; expected an id that is more than dots.'],
    ],
    [
      'an unknown key in a target',
      (s) => Object.assign(s.target, { refrence: '' }),
      'sheet-invalid',
      ['target.refrence', 'did you mean "reference"?'],
    ],
    [
      'a NUL in a file name',
      (s) => (s.scans[0].file = 'white\0.tif'),
      'sheet-invalid',
      ['scans[0].file', 'expected a file name without NUL characters'],
    ],
    [
      'a NUL in a name',
      (s) => (s.scans[0].paper = 'laid\0'),
      'sheet-invalid',
      ['scans[0].paper', 'expected text without NUL characters and halves of letters'],
    ],
    [
      'half a letter in a name',
      (s) => (s.regions[1].id = 'ef \ud83d'),
      'sheet-invalid',
      ['regions[1].id', 'expected text without NUL characters and halves of letters'],
    ],
    [
      'a key that is no word',
      (s) => Object.assign(s, { xyzzy: 1 }),
      'sheet-invalid',
      ['xyzzy: unknown key; expected one of format, ink, target, scans, regions, bench. Remove it.'],
    ],
    [
      'a misspelt kind',
      (s) => Object.assign(s.regions[1], { kind: 'stroks' }),
      'sheet-invalid',
      ['regions[1].kind (region "ef"): found "stroks"', 'did you mean "strokes"?'],
    ],
    [
      'no kind',
      (s) => delete s.regions[1].kind,
      'sheet-invalid',
      ['regions[1].kind (region "ef") is missing', '"paper"'],
    ],
    [
      'text for a number',
      (s) => Object.assign(s.regions[1], { nibWidthMm: '0.35' }),
      'sheet-invalid',
      ['nibWidthMm', 'found "0.35"; expected a number. Write 0.35, without quotes.'],
    ],
    [
      'a decimal comma, and a unit',
      (s) => Object.assign(s.regions[1], { nibWidthMm: '0,35 mm' }),
      'sheet-invalid',
      ['found "0,35 mm"; expected a number. Write 0.35, without quotes.'],
    ],
    [
      'a decimal comma without quotes',
      (s) => Object.assign(s.regions[1], { boxMm: [1, 5, 2, 40, 30] }),
      'sheet-invalid',
      ['found [1,5,2,40,30]; expected only 4 of them. A decimal takes a point, as in 2.5.'],
    ],
    [
      'thousands, which a comma may mean too',
      (s) => Object.assign(s.scans[0], { dpi: '1,200' }),
      'sheet-invalid',
      ['found "1,200"; expected a number.'],
    ],
    [
      'a box of three',
      (s) => Object.assign(s.regions[1], { boxMm: [1, 2, 3] }),
      'sheet-invalid',
      ['regions[1].boxMm', 'at least 4'],
    ],
    [
      'a box without width',
      (s) => Object.assign(s.regions[1], { boxMm: [1, 2, 0, 3] }),
      'sheet-invalid',
      ['regions[1].boxMm[2]', 'found 0; expected a number above 0'],
    ],
    [
      'a negative dpi',
      (s) => Object.assign(s.scans[0], { dpi: -600 }),
      'sheet-invalid',
      ['scans[0].dpi (scan "white")', 'found -600'],
    ],
    [
      'a nib in micrometres',
      (s) => Object.assign(s.regions[1], { nibWidthMm: 350 }),
      'sheet-invalid',
      ['regions[1].nibWidthMm (region "ef")', 'found 350; expected a number of at most 100'],
    ],
    ['an empty name', (s) => Object.assign(s.scans[0], { file: ' ' }), 'sheet-invalid', ['scans[0].file', 'not empty']],
    [
      'an id with a slash',
      (s) => Object.assign(s.scans[0], { id: '../x' }),
      'sheet-invalid',
      ['scans[0].id', 'without slashes'],
    ],
    [
      'an id like a letter to the editor',
      (s) => Object.assign(s.scans[0], { id: 'x'.repeat(100_000) }),
      'sheet-invalid',
      [`(scan "${'x'.repeat(56)}…)`, 'expected text of at most 300 letters.'],
    ],
    [
      'no reference',
      (s) => Reflect.deleteProperty(s.target, 'reference'),
      'sheet-invalid',
      ['target.reference is missing'],
    ],
    [
      'a list that is none',
      (s) => Object.assign(s, { regions: {} }),
      'sheet-invalid',
      ['regions: found {}; expected a list'],
    ],
    ['one scan id twice', (s) => (s.scans[1].id = 'white'), 'id-twice', ['scans[1].id: "white"']],
    ['one region id twice', (s) => (s.regions[2].id = 'ef'), 'id-twice', ['regions[2].id: "ef"']],
    [
      'a scan that is not listed',
      (s) => (s.regions[1].scan = 'whit'),
      'no-such-scan',
      ['regions[1].scan', 'one of white, strip', 'did you mean "white"?'],
    ],
    [
      'a front that is not listed',
      (s) => Object.assign(s.scans[1], { side: 'back', of: 'wihte' }),
      'no-such-scan',
      ['scans[1].of', 'did you mean "white"?'],
    ],
    ['a front side with "of"', (s) => Object.assign(s.scans[1], { of: 'white' }), 'wrong-link', ['"side": "back"']],
    [
      'a reverse of nothing',
      (s) => s.regions.push({ id: 'r', scan: 'white', kind: 'reverse', of: 'eff' }),
      'no-such-region',
      ['regions[3].of', 'did you mean "ef"?'],
    ],
    [
      'a reverse of a strip',
      (s) => s.regions.push({ id: 'r', scan: 'white', kind: 'reverse', of: 'run' }),
      'wrong-link',
      ['a strip'],
    ],
    [
      'a hatch of itself',
      (s) => s.regions.push({ id: 'h', scan: 'white', kind: 'hatch', of: 'h' }),
      'wrong-link',
      ['itself'],
    ],
  ])('%s', async (_, change, code, words) => {
    const refusal = await loadSheet(put(change)).catch((error: unknown) => error);
    expect(refusal).toMatchObject({ name: 'SheetError', code });
    for (const word of words) expect(String(refusal)).toContain(word);
    expect(String(refusal)).not.toContain('\n');
    expect(String(refusal).length).toBeLessThan(1000);
  });

  test('several faults: the first is told, the others counted', async () => {
    const sheet = put((s) => s.regions.forEach((r) => Object.assign(r, { colour: 'blue' })));
    await expect(loadSheet(sheet)).rejects.toThrow(/regions\[0\]\.colour.*\(and 2 more like it\)$/);
  });
});

describe('text that is no JSON', () => {
  test.each<[string, string, string]>([
    ['nothing', ' \n', 'line 2, column 1: the file is empty; expected JSON'],
    ['a comma too many', '{\n  "a": [1, 2,]\n}', 'line 2, column 14: found "]"; expected a value after the comma'],
    ['a comma too few', '{\r\n  "a": 1\r\n  "b": 2\r\n}', 'line 3, column 3: found "\\""; expected "," or "}"'],
    ['a bare key', '{ format: 1 }', 'line 1, column 3: found "f"; expected a key in double quotes'],
    ['a comment', '{\n  // the ink\n}', 'line 2, column 3: a comment; expected plain JSON'],
    ['a number that JSON does not know', '[01]', 'line 1, column 3: found "1"; expected "," or "]"'],
    ['an open text', '["ab\ncd"]', 'line 1, column 2: a text is not closed on its line'],
    [
      'a path with single backslashes',
      '["c:\\scans"]',
      'line 1, column 2: a text is not closed on its line or holds a wrong "\\"',
    ],
    ['words behind the end', '{} x', 'line 1, column 4: found "x"; expected the end of the file'],
    ['cut short', '{"a": {"b": [', 'line 1, column 14: the file ends; expected a value'],
    ['another kind of text', 'CGATS.17\nNUMBER 3', 'line 1, column 1: no JSON, but "CGATS.17"; expected JSON'],
    [
      'a scan',
      '\u0089PNG\r\n\u001a\n',
      'no text, but an image or another binary file; expected JSON, which begins with "{"',
    ],
    ['a letter in another encoding', '{\n"a": "Gr\uFFFDn"}', 'line 2, column 9: a letter that is no UTF-8'],
    ['a key twice', '{"a": 1,\n "a": 2}', 'line 2, column 2: the key "a" stands here a second time'],
  ])('%s', async (_, text, expected) => {
    const refusal = await loadSheet(folder.put('broken.json', text)).catch((error: unknown) => error);
    expect(refusal).toMatchObject({ name: 'SheetError', code: 'json-syntax' });
    expect(String(refusal)).toContain(expected);
  });

  test('a text of megabytes is read to its end', async () => {
    const long = { ...soundSheet(), ink: { name: `"é\\${'x'.repeat(9e6)}` } };
    const { sheet } = await loadSheet(folder.put('long.json', JSON.stringify(long)));
    expect(sheet.ink).toEqual(long.ink);
  });

  test('the mark that some editors put at the start is no fault', async () => {
    const text = JSON.stringify(soundSheet());
    const marked = [`\uFEFF${text}`, Buffer.from(`\uFEFF${text}`, 'utf16le')];
    for (const content of marked) {
      expect((await loadSheet(folder.put('marked.json', content))).sheet.regions).toHaveLength(3);
    }
  });
});

describe('however much stands there, one line can be read', () => {
  test.each<[string, (s: Sound) => string, string]>([
    [
      'a number without bounds is not called null',
      (s) => JSON.stringify(s).replace(/"boxMm":\[[^,]+/, '"boxMm":[1e999'),
      'found a number that is too large; expected a number.',
    ],
    [
      'a key without end',
      (s) => JSON.stringify({ ...s, ['k'.repeat(9000)]: 1 }),
      `sheet.json: ${'k'.repeat(60)}: unknown key`,
    ],
    [
      'one name of hundreds',
      ({ scans, ...s }) => {
        const more = Array.from({ length: 300 }, (_, i) => ({ ...scans[0], id: `page-${i}` }));
        return JSON.stringify({ ...s, scans: more });
      },
      'expected one of page-0, page-1, ',
    ],
  ])('%s', async (_, write, expected) => {
    const refusal: unknown = await loadSheet(folder.put('sheet.json', write(soundSheet()))).catch((e: unknown) => e);
    expect(String(refusal)).toContain(expected);
    expect(String(refusal).length).toBeLessThan(600);
  });
});
