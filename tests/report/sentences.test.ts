/** Findings as sentences: the sample's real ones by hand, all names and flags, and what no sentence may hold. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Flag, LabValue, Quantity, QuantityName, Unit } from '../../analysis/quantity.ts';
import { FLAG_ADVICE, adviceText } from '../../analysis/report/flagAdvice.ts';
import { FLAG_WORDS } from '../../analysis/report/flagWords.ts';
import { limitsLine, METHOD_LINES, methodLine } from '../../analysis/report/methodLines.ts';
import { namesOf } from '../../analysis/report/names.ts';
import { sentence, subjectWords } from '../../analysis/report/sentences.ts';
import { QUANTITY_NOUNS, QUANTITY_TITLES, UNIT_WORDS } from '../../analysis/report/titles.ts';
import { FLAGS, QUANTITY_NAMES, UNITS } from './namesInCode.ts';
import { sampleFinding, sampleFindings, sampleNames, sampleRegions } from './sampleNames.ts';

describe('the sample’s findings in words', () => {
  test.each([
    [
      'paperColour(bare-white)',
      'The paper “bright white, smooth” is white: L* 94.51 ± 0.41, a* −0.24 ± 0.46, b* 0.77 ± 0.63.',
    ],
    [
      'inkColour(b-white)',
      'The broad nib writes moderate or grayish violet on “bright white, smooth”: L* 29.7 ± 2.0, a* 12.1 ± 7.7, b* −23.4 ± 9.1.',
    ],
    [
      'inkColour(swab-graded-white)',
      'The swab “swab-graded-white” on “bright white, smooth” is light or pale violet: L* 49.2 ± 2.2, a* 7.5 ± 5.2, b* −20.2 ± 7.2.',
    ],
    ['inkColour.hue(b-white)', 'The hue of the broad nib’s writing on “bright white, smooth” is 297 ± 17°.'],
    [
      'inkColour.hue(swab-graded-yellow)',
      'The hue of the swab “swab-graded-yellow” on “yellow, dyed” cannot be told, because the colour is too nearly grey to have one. Its chroma says how nearly.',
    ],
    [
      'inkDensity(b-white)',
      'The broad nib’s writing on “bright white, smooth” has a density of 1.149 ± 0.057 above paper: it sends back 7.1 % of the light that its paper does.',
    ],
    [
      'shading(ef-white)',
      'The extra-fine nib’s writing on “bright white, smooth” shades by 6.3 ± 1.2 ΔE00 between its dark and its light tenth: strong.',
    ],
    [
      'shading.dL(b-white)',
      'The light tenth of the broad nib’s writing on “bright white, smooth” is 4.41 ± 0.92 ΔL* lighter than the dark one.',
    ],
    [
      'shading.dHue(b-white)',
      'From dark to light tenth, the hue of the broad nib’s writing on “bright white, smooth” turns by no more than the uncertainty: −1.7 ± 2.1°.',
    ],
    [
      'nibShading(m-white,b-white)',
      'On “bright white, smooth”, the broad nib is 4.48 ± 0.92 ΔE00 darker than the medium one: clear.',
    ],
    [
      'toneShift(b-white,b-yellow)',
      'From “bright white, smooth” to “yellow, dyed”, the colour of the broad nib’s ink shifts by 5.6 ± 1.3 ΔE00, as seen side by side.',
    ],
    [
      'toneShift.adapted(b-white,b-yellow)',
      'To an eye used to each page, the colour of the broad nib’s ink shifts by 5.9 ± 1.3 ΔE00 from “bright white, smooth” to “yellow, dyed”.',
    ],
    [
      'toneShift.dL(ef-white,ef-yellow)',
      'From “bright white, smooth” to “yellow, dyed”, the extra-fine nib’s ink grows darker by 3.1 ± 1.8 ΔL*.',
    ],
    [
      'toneShift.dC(m-white,m-yellow)',
      'From “bright white, smooth” to “yellow, dyed”, the medium nib’s ink loses 14.3 ± 3.2 of chroma (C*).',
    ],
    ['bandPosition(fresh)#3', 'Band 3 of the fresh strip (vivid blue) stands at R_F 0.7928 ± 0.0074.'],
    [
      'bandTail(fresh)#1',
      'Band 1 of the fresh strip drags a tail: its flank towards the origin is 3.49 ± 0.64 times as long as the one in front.',
    ],
    [
      'bandTail(fresh)#3',
      'Band 3 of the fresh strip is as steep behind as in front, within the uncertainty: tail 1.24 ± 0.26.',
    ],
    ['bandResolution(dried)#2', 'Band 2 of the dried strip overlaps with the next, with R_s 0.979 ± 0.076.'],
    ['originRetained(dried)', '37.3 ± 3.0 % of the colour of the dried strip stayed at the origin.'],
    ['runShift(fresh,dried)#3', 'After drying, band 3 (vivid blue) ran less far than fresh, by R_F 0.083 ± 0.010.'],
    [
      'runShift.share(fresh,dried)#3',
      'Drying took 25.8 ± 3.9 percentage points from the share of band 3 (vivid blue).',
    ],
    [
      'runShift.originRetained(fresh,dried)',
      'Drying kept 29.9 ± 3.1 percentage points more of the colour at the origin.',
    ],
    [
      'runShift.front(fresh,dried)',
      'The solvent front of the dried strip ran 2.44 ± 0.34 mm less far than that of the fresh strip.',
    ],
  ])('%s', (key, words) => {
    expect(sentence(sampleFinding(key), sampleNames)).toBe(words);
  });

  test('each finding of the sample has a sentence of its own', () => {
    const said = sampleFindings.map((finding) => sentence(finding, sampleNames));
    expect(new Set(said).size).toBe(said.length);
  });
});

describe('as short as the names allow', () => {
  const white = { kind: 'strokes', paper: 'laid', run: null } as const;
  const two = [
    { id: 'a', nib: 'F', ...white },
    { id: 'b', nib: 'B', ...white },
  ];
  const ink = (id: string, L: number): Quantity => finding('inkColour', [id], [L, 10, -20], [0.5, 1, 1], 'Lab');

  test('one paper needs no name', () => {
    const names = namesOf(two, [ink('a', 48), ink('b', 45)]);
    const shading = { ...finding('nibShading', ['a', 'b'], 3.1, 0.2, 'ΔE00'), verdict: 'clear' };
    expect(sentence(shading, names)).toBe('The broad nib is 3.10 ± 0.40 ΔE00 darker than the fine one: clear.');
  });

  test('the darker nib comes first, whichever way round the pair is', () => {
    const names = namesOf(two, [ink('a', 40), ink('b', 45)]);
    expect(sentence(finding('nibShading', ['a', 'b'], 3.1, 0.2, 'ΔE00'), names)).toMatch(
      /^The fine nib is .* darker than the broad one\.$/,
    );
  });

  test('a difference that is mostly one of hue is not called darker', () => {
    const red = finding('inkColour', ['a'], [45, 40, 10], [1, 1, 1], 'Lab');
    const names = namesOf(two, [red, ink('b', 44)]);
    expect(sentence(finding('nibShading', ['a', 'b'], 20, 1, 'ΔE00'), names)).toBe(
      'The fine nib and the broad nib lie 20.0 ± 2.0 ΔE00 apart.',
    );
  });

  test('a difference within the uncertainty is not called darker either', () => {
    const names = namesOf(two, [ink('a', 45.5), ink('b', 45)]);
    expect(sentence({ ...finding('nibShading', ['a', 'b'], 0.5, 0.4, 'ΔE00'), verdict: 'none' }, names)).toBe(
      'The fine nib and the broad nib lie 0.50 ± 0.80 ΔE00 apart, no more than the uncertainty: none to speak of.',
    );
  });

  test('two samples of one nib are told apart by their ids, and a nib without a common name keeps its own', () => {
    const same = [
      { id: 'a', nib: 'Stub 1.1', ...white },
      { id: 'b', nib: 'Stub 1.1', ...white },
    ];
    expect(subjectWords(ink('b', 40), namesOf(same))).toBe('the Stub 1.1 nib’s writing “b”');
  });

  test('a region that the sheet no longer holds is called by its id', () => {
    expect(sentence(finding('inkDensity', ['gone'], 1, 0.01, '1'), namesOf([]))).toMatch(/^The sample “gone” has/);
  });
});

test('a word that cannot be told says so and why', () => {
  const unsure = { ...sampleFinding('shading(ef-white)'), verdict: 'cannot tell' };
  expect(sentence(unsure, sampleNames)).toMatch(
    /: cannot tell how much that is, the uncertainty is wider than the word allows\.$/,
  );
});

describe('what is missing', () => {
  const nothing = (quantity: QuantityName, flags: readonly Flag[], band?: number): string =>
    sentence(
      {
        quantity,
        subject: { regions: ['fresh'], ...(band && { band }) },
        value: null,
        u: null,
        unit: '1',
        flags,
        method: 'x/1',
      },
      sampleNames,
    );

  test('says why and what to do', () => {
    expect(nothing('bandPosition', ['front-not-found'], 1)).toBe(
      'The R_F of band 1 of the fresh strip cannot be told, because the solvent front was not found. Set the front by hand.',
    );
  });

  test('tells the deepest cause when several flags stand', () => {
    expect(nothing('bandColour', ['found', 'no-bands', 'few-pixels'])).toMatch(
      /because there is too little of it in the box\./,
    );
  });

  test('has a reason even without a flag', () => {
    expect(nothing('inkDensity', [])).toMatch(/because the measurement gave no reason\. Measure it again\.$/);
  });

  test.each(FLAGS)('%s alone is reason enough', (flag) => {
    const said = nothing('originRetained', [flag]);
    expect(said).toMatch(/cannot be told, because .+\. .+\.$/);
    expect(said).not.toContain(flag.includes('-') ? flag : '\n');
  });
});

describe('all names have words', () => {
  test('the lists are those of the code', () => {
    expect(QUANTITY_NAMES.length).toBeGreaterThan(25);
    expect(FLAGS.length).toBeGreaterThan(15);
    expect(UNITS).toContain('ΔE00');
  });

  test.each(QUANTITY_NAMES)('%s', (quantity) => {
    expect(QUANTITY_TITLES[quantity]).toMatch(/^[A-Z]/);
    expect(QUANTITY_NOUNS[quantity].length).toBeGreaterThan(6);
    expect(METHOD_LINES[quantity].length).toBeGreaterThan(10);
    expect(methodLine({ quantity, method: 'm/1' })).toMatch(/, method m\/1$/);
    const colour = quantity === 'paperColour' || quantity === 'inkColour' || quantity === 'bandColour';
    const value: number | LabValue = colour ? [50, 1, 2] : 3;
    const said = sentence(finding(quantity, ['fresh', 'dried'], value, colour ? [1, 1, 1] : 0.1, '1'), sampleNames);
    expect(said).toMatch(/^[A-Z0-9].*\.$/);
    expect(said).toMatch(colour ? /50\.0 ± 2\.0/ : /3\.00 ± 0\.20/);
  });

  test('titles are told apart', () => {
    expect(new Set(Object.values(QUANTITY_TITLES)).size).toBe(QUANTITY_NAMES.length);
  });

  test.each(FLAGS)('flag %s: words, meaning and advice of one sentence each', (flag) => {
    expect(FLAG_WORDS[flag].length).toBeGreaterThan(5);
    expect(FLAG_ADVICE[flag].means).toMatch(/^[A-Z].*[^.]\.$/);
    expect(FLAG_ADVICE[flag].advice).toMatch(/^[A-Z].*[^.][.?]$/);
    expect(adviceText(flag)).toContain(FLAG_ADVICE[flag].advice);
  });

  test.each(UNITS)('unit %s', (unit) => expect(UNIT_WORDS[unit].length).toBeGreaterThan(3));
});

describe('whatever is measured', () => {
  const number = fc.oneof(fc.double({ min: -200, max: 200, noNaN: true }), fc.constantFrom(0, -0, 1e-9, -1e-9));
  const u = fc.oneof(fc.constant(null), fc.double({ min: 0, max: 60, noNaN: true }));
  const lab = fc.tuple(number, number, number);
  const anyFinding = fc
    .record({
      quantity: fc.constantFrom(...QUANTITY_NAMES),
      ids: fc.uniqueArray(fc.constantFrom(...sampleRegions.map(({ id }) => id), 'gone'), {
        minLength: 2,
        maxLength: 2,
      }),
      band: fc.constantFrom(undefined, 1, 2, 9),
      value: fc.oneof(number, lab, fc.constant(null)),
      u: fc.oneof(
        u,
        lab.map(([a, b, c]): LabValue => [Math.abs(a), Math.abs(b), Math.abs(c)]),
      ),
      unit: fc.constantFrom(...UNITS),
      verdict: fc.constantFrom(undefined, 'none', 'clear', 'cannot tell'),
      flags: fc.subarray([...FLAGS]),
    })
    .map(({ quantity, ids, band, value, u, unit, verdict, flags }): Quantity => ({
      quantity,
      subject: { regions: ids, ...(band !== undefined && { band }) },
      value,
      unit,
      u,
      ...(verdict !== undefined && { verdict }),
      flags,
      method: 'x/1',
    }));

  test('no sentence holds a slip of the program', () => {
    fc.assert(
      fc.property(anyFinding, (any) => {
        const said = sentence(any, sampleNames);
        expect(said).not.toMatch(/undefined|NaN|null|Infinity|\[object/);
        // A hyphen may join words; before a digit it would be a minus sign that is none.
        expect(said).not.toMatch(/(?<![\p{L}\p{N}])-\s?\d/u);
        expect(said).not.toMatch(/[-−]0(\.0+)?(?![.\d])/);
        expect(said).not.toMatch(/ {2}| [.,;:]/);
        expect(said).toMatch(/^[\p{Lu}\p{N}−].*[.?]$/u);
      }),
      { numRuns: 600, seed: 7 },
    );
  });
});

function finding(
  quantity: QuantityName,
  regions: readonly string[],
  value: number | LabValue,
  u: number | LabValue,
  unit: Unit,
): Quantity {
  return { quantity, subject: { regions }, value, u, unit, flags: [], method: 'x/1' };
}

test('limits of words are told with the digits that they have', () => {
  const line = (limits: readonly number[], unit: 'mm' | '%') => limitsLine({ verdict: 'faint', limits, unit });
  expect(line([0.03, 0.08, 0.2], 'mm')).toBe('the word “faint” goes by limits at 0.03, 0.08 and 0.2 mm');
  expect(line([10, 25, 50], '%')).toBe('the word “faint” goes by limits at 10, 25 and 50 %');
});
