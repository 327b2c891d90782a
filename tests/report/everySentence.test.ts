/** What each finding says, word for word, also where it is nothing, negative, of one sample, or lost in its uncertainty: read as a reviewer would. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Flag, LabValue, Quantity, QuantityName, Unit } from '../../analysis/quantity.ts';
import { caveatOf, limitsLine } from '../../analysis/report/methodLines.ts';
import { namesOf, type RegionName } from '../../analysis/report/names.ts';
import { whyMissing } from '../../analysis/report/missing.ts';
import { sentence, subjectWords } from '../../analysis/report/sentences.ts';
import { FLAGS, QUANTITY_NAMES, UNITS } from './namesInCode.ts';

const region = (id: string, kind: string, nib: string | null, paper: string | null, run?: 'fresh'): RegionName => ({
  id,
  kind,
  nib,
  paper,
  run: run ?? null,
});
const PAGE = [
  region('f', 'strokes', 'F', 'laid'),
  region('b', 'strokes', 'B', 'laid'),
  region('by', 'strokes', 'B', 'yellow'),
  region('pen', 'strokes', null, 'laid'),
  region('s1', 'swab', null, 'laid'),
  region('s2', 'swab', 'B', 'yellow'),
  region('paint', 'brush', 'B', 'laid'),
  region('back', 'reverse', null, 'laid'),
  region('fresh', 'strip', null, null, 'fresh'),
  { ...region('dried', 'strip', null, null), run: 'dried' as const },
];
const names = namesOf(PAGE);

interface Given {
  readonly unit?: string;
  readonly band?: number;
  readonly on?: string;
  readonly verdict?: string;
  readonly flags?: readonly string[];
}

function finding(
  name: string,
  regions: readonly string[],
  value: number | LabValue | null,
  u: number | LabValue | null,
  { unit = '1', band, on, verdict, flags = [] }: Given = {},
): Quantity {
  return {
    quantity: listedIn(QUANTITY_NAMES, name),
    subject: { regions, ...(band !== undefined && { band }), ...(on !== undefined && { on }) },
    value,
    u,
    unit: listedIn(UNITS, unit),
    flags: flags.map((flag) => listedIn(FLAGS, flag)),
    method: 'x/1',
    ...(verdict !== undefined && { verdict }),
  };
}

function listedIn<T extends string>(list: readonly T[], word: string): T {
  const found = list.find((one) => one === word);
  if (found === undefined) throw new Error(`found ${word}; expected one of ${list.join(', ')}`);
  return found;
}

/** `bandTail(fresh)#2 = 0.5 u 0.05 1`, with ` on kraft` behind the subject, ` : clear` for a word and ` ! another-ink` for a flag behind the unit. */
const GIVEN =
  /^(\S+)\(([\w,]+)\)(?:#(\d))?(?: on ([^=]+))? = ([\d. -]+) u ([\d. -]+) (\S+)(?: : ([^!]+))?(?: ! (\S+))?$/;

function parsed(line: string): Quantity {
  const [, name, ids, band, on, value, u, unit, verdict, flag] = GIVEN.exec(line) ?? [];
  return finding(name, ids.split(','), numbers(value), numbers(u), {
    unit,
    on,
    verdict,
    ...(band !== undefined && { band: Number(band) }),
    ...(flag !== undefined && { flags: [flag] }),
  });
}

function numbers(text: string): number | LabValue {
  const [a, b, c] = text.trim().split(' ').map(Number);
  return b === undefined ? a : [a, b, c];
}

const rows = readFileSync(new URL('said.txt', import.meta.url), 'utf8')
  .split('\n')
  .filter((line) => line !== '' && !line.startsWith('#'));
const said = rows.flatMap((line, i) => (i % 2 === 0 ? [{ given: line, words: rows[i + 1].trim() }] : []));

test.each(said)('$given', ({ given, words }) => expect(sentence(parsed(given), names)).toBe(words));

test('each quantity is among them', () => {
  const told = new Set(said.map(({ given }) => parsed(given).quantity));
  // These are said by hand of the sample's own findings (sentences.test.ts).
  const elsewhere = ['inkColour.hue', 'shading', 'toneShift.adapted', 'bandPosition', 'originRetained'];
  expect(QUANTITY_NAMES.filter((name) => !told.has(name))).toEqual(elsewhere);
});

test('several fresh strips are told apart by their ids, in a band of one too', () => {
  const two = namesOf([...PAGE, region('again', 'strip', null, null, 'fresh')]);
  const shift = finding('runShift', ['again', 'dried'], 0.05, 0.005, { band: 1 });
  expect(sentence(shift, two)).toBe(
    'After drying, band 1 of the fresh strip “again” ran farther than fresh, by R_F 0.050 ± 0.010.',
  );
});

describe('what cannot be told', () => {
  const missing = (quantity: QuantityName, regions: readonly string[], flags: readonly Flag[]): string =>
    sentence(finding(quantity, regions, null, null, { flags }), names);

  test.each<[QuantityName, readonly string[], Flag, string]>([
    ['nibShading', ['f', 'b'], 'few-pixels', 'The difference between the fine nib and the broad nib on “laid”'],
    ['toneShift', ['b', 'by'], 'few-pixels', 'The tone shift of the broad nib on “laid” and “yellow”'],
    ['halo.dE', ['b'], 'cannot-tell', 'The colour difference of the halo of the broad nib’s writing on “laid”'],
    ['halo.hue', ['b'], 'cannot-tell', 'The hue of the halo of the broad nib’s writing on “laid”'],
    ['film', ['s1'], 'grounds-alike', 'The transmittance of the ink of the swab'],
    ['originRetained', ['dried'], 'origin-not-found', 'The part kept at the origin of the dried strip'],
    ['paperTexture', ['f'], 'few-pixels', 'The texture of the paper “laid”'],
  ])('%s', (quantity, regions, flag, words) => {
    expect(missing(quantity, regions, [flag])).toMatch(new RegExp(`^${words} cannot be told, because `));
  });

  test('each quantity that may be left untold says why by itself; only what two findings make points to these', () => {
    const all: readonly QuantityName[] = [
      'inkColour.hue',
      'shading.dHue',
      'toneShift.dHue',
      'feathering',
      'feathering.hairs',
      'raggedness',
      'lineWidth.at60',
      'edgeBlur',
      'halo',
      'halo.dE',
      'halo.hue',
      'sheen',
      'pathDistance',
      'hiding',
      'hiding.predicted',
      'absorption',
    ];
    const general = whyMissing({ quantity: 'runShift', flags: ['cannot-tell'] });
    expect(general.advice).toBe('Look at the findings of each side alone.');
    for (const quantity of all)
      expect(whyMissing({ quantity, flags: ['cannot-tell'] }).because).not.toBe(general.because);
  });

  test.each<Flag>([
    'no-ink',
    'no-strip',
    'no-bare-paper',
    'unmirrored',
    'not-registered',
    'no-crossings',
    'no-nib-width',
    'no-pass',
    'no-bar',
    'few-doses',
    'film-not-converged',
    'strip-cut-off',
    'front-off-strip',
    'unmatched',
    'saturated',
    'clipped',
    'not-uniform',
  ])('%s takes a number away in words of its own, and what it hides goes unsaid', (flag) => {
    const own = whyMissing({ quantity: 'inkDensity', flags: [flag] });
    expect(own.because).not.toMatch(/^of this: /);
    expect(whyMissing({ quantity: 'inkColour.hue', flags: ['cannot-tell', flag] })).toEqual(own);
  });

  test('a flag that takes no number away by itself is quoted', () => {
    expect(missing('inkDensity', ['f'], ['lossy'])).toMatch(
      /cannot be told, because of this: the scan was saved with loss.*\. Save the scan as TIFF or PNG in full colour/,
    );
  });
});

test('limits of a plain number have no unit behind them', () => {
  expect(limitsLine({ verdict: 'opaque', limits: [0.5, 0.9], unit: '1' })).toBe(
    'the word “opaque” goes by limits at 0.5 and 0.9',
  );
});

test('without a word, or without limits, no limits are told', () => {
  expect(limitsLine({ limits: [0.5], unit: '1' })).toBe('');
  expect(limitsLine({ verdict: 'opaque', unit: '1' })).toBe('');
  expect(limitsLine({ verdict: 'opaque', limits: [], unit: '1' })).toBe('');
});

// CIEDE2000 was fitted to small colour differences, to about 5 (Luo, Cui & Rigg 2001).
test.each<[number | null, Unit, boolean]>([
  [5.1, 'ΔE00', true],
  [5, 'ΔE00', false],
  [null, 'ΔE00', false],
  [50, 'ΔL*', false],
])('a difference of %d %s bears a caveat: %s', (value, unit, bears) => {
  expect(caveatOf({ value, unit }) !== null).toBe(bears);
});

test('whose number it is', () => {
  expect(subjectWords(finding('runShift', ['fresh', 'dried'], 0, 0, { band: 2 }), names)).toBe(
    'band 2 of the fresh strip and its partner',
  );
  expect(subjectWords(finding('frontSpeed.line', ['fresh', 'dried'], 0, 0), names)).toBe('several strips');
  expect(subjectWords(finding('doseCurve', ['by'], 0, 0), names)).toBe('the ink on “yellow”');
  expect(subjectWords(finding('predictedColour', ['b'], 0, 0, { on: 'kraft' }), names)).toBe(
    'the broad nib’s ink on “kraft”',
  );
});
