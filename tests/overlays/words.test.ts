import { describe, expect, test } from 'vitest';
import type { Flag } from '../../analysis/quantity.ts';
import { colourName } from '../../electron/overlays/colourNames.ts';
import { figuresOf, numberWords, plainNumber } from '../../electron/overlays/figures.ts';
import { FLAG_WORDS, notesOf } from '../../analysis/report/flagWords.ts';
import { warningOf } from '../../electron/overlays/header.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { judgementWords, targetCard } from '../../electron/overlays/targetCard.ts';
import type { FoundTarget } from '../../electron/overlays/targetMarks.ts';
import { says } from '../../electron/overlays/regionCard.ts';
import { quantity, strokes, strokesResult } from './smallPage.ts';

describe('figures', () => {
  test('show ± as two standard uncertainties, with a true minus', () => {
    expect(figuresOf(strokesResult('a').quantities).map((f) => [f.label, f.value, f.spread, f.unit, f.word])).toEqual([
      ['L*', '32.1', '± 0.8', '', ''],
      ['a*', '−3.0', '± 1.0', '', ''],
      ['b*', '−41.2', '± 1.2', '', ''],
      ['Shading', '3.4', '± 0.6', 'ΔE₀₀', 'clear'],
    ]);
  });

  test('a small uncertainty never reads as none, and nothing reads as −0', () => {
    expect(numberWords(0.1234, 0.0011, 1)).toEqual({ value: '0.123', spread: '± 0.002' });
    expect(numberWords(3, 0, 1).spread).toBe('± 0.0000');
    expect(plainNumber(-0.04, 1)).toBe('0.0');
  });

  test('lines and their edges have theirs, with as many decimals as they are sure of', () => {
    const found = figuresOf([
      quantity('lineWidth', 0.7284, 'mm', 0.0055),
      quantity('feathering', 0.112, 'mm', 0.012, { verdict: 'clear' }),
      quantity('raggedness', 0.008, 'mm', 0.001),
    ]);
    expect(found.map((f) => [f.label, f.value, f.spread, f.unit, f.word])).toEqual([
      ['Line width', '0.73', '± 0.01', 'mm', ''],
      ['Feathering', '0.11', '± 0.02', 'mm', 'clear'],
    ]);
  });

  test('what cannot be told says so', () => {
    const [row] = figuresOf([quantity('shading', null, 'ΔE00', null, { flags: ['no-ink'] })]);
    expect([row.value, row.spread, row.word]).toEqual(['–', '', 'cannot tell']);
  });
});

describe('sentences', () => {
  test('say the colour and the shading first', () => {
    expect(says(strokes('a'))).toBe('Strong blue; clear shading.');
  });
  test.each([
    ['none', 'no shading'],
    ['cannot tell', 'its shading cannot be told'],
    ['strong', 'strong shading'],
  ])('verdict %s', (verdict, words) => {
    const region = strokes('a');
    const [colour] = region.result!.quantities;
    const shading = quantity('shading', 3, 'ΔE00', 1, { verdict });
    expect(says({ ...region, result: { ...region.result!, quantities: [colour, shading] } })).toContain(words);
  });
  test('two names when the border lies within the uncertainty, their common word once', () => {
    expect(colourName(quantity('inkColour', [80, 12.6, 66], 'Lab', [0.1, 0.1, 0.1]))).toBe('strong yellow');
    expect(colourName(quantity('inkColour', [80, 12.6, 66], 'Lab', [2, 3, 4]))).toMatch(/^strong or \w+ yellow$/);
  });
  test('two names that begin alike are both said whole', () => {
    expect(colourName(quantity('bandColour', [73.6, 44.7, 8.3], 'Lab', [1, 4.5, 4.2]))).toBe(
      'strong pink or strong purplish pink',
    );
  });
  test('a calibration is judged in plain words', () => {
    expect(judgementWords({ ...nominalCalibration, judgement: 'good', leftOutMedian: 0.62 })).toBe(
      'Good: a patch that the fit did not see is missed by 0.62 ΔE₀₀ in the median.',
    );
    expect(judgementWords({ ...nominalCalibration, judgement: 'poor', leftOutMedian: 3.1 })).toMatch(
      /^Poor: .*expected 2/,
    );
    expect(judgementWords({ ...nominalCalibration, judgement: 'usable', leftOutMedian: 0.62 })).toBe(
      'Usable, although a patch that the fit did not see is missed by 0.62 ΔE₀₀ in the median; see what follows.',
    );
    expect(warningOf(nominalCalibration)).toMatch(/^Uncalibrated/);
    expect(warningOf({ ...nominalCalibration, judgement: 'good' })).toBeNull();
  });
});

test('the target’s card has room for how it was located and for what is to be mended', () => {
  const target: FoundTarget = {
    pointsPx: [],
    layout: {
      format: 'wetline-target/1',
      name: 'made up',
      pointsMm: [
        [0, 0],
        [1, 0],
        [1, 1],
        [0, 1],
      ],
      patches: [],
    },
    located: { by: 'fiducials', score: 0.9, words: 'by three of its four discs; the fourth is covered' },
  };
  const heightWith = (cautions: number, words = target.located.words): number =>
    targetCard(
      { ...target, located: { ...target.located, words } },
      {
        ...nominalCalibration,
        cautions: Array.from({ length: cautions }, () => ({ code: 'noisy', words: 'Much noise. Scan slower.' })),
      },
      400,
      0,
    ).height;
  expect(heightWith(1)).toBeGreaterThan(heightWith(0));
  expect(heightWith(3)).toBeGreaterThan(heightWith(2));
  // A few; the report card has all.
  expect(heightWith(4)).toBe(heightWith(3));
  expect(heightWith(0, 'by its grid, '.repeat(20))).toBeGreaterThan(heightWith(0));
});

describe('flags', () => {
  test('are all said in words, each once', () => {
    for (const [flag, words] of Object.entries(FLAG_WORDS)) {
      expect(words).not.toMatch(/[A-Z_]/);
      expect(flag === 'uncalibrated' || flag === 'clipped' || words !== flag).toBe(true);
    }
    const flags: Flag[] = ['clipped', 'crossings-left-out', 'clipped'];
    expect(notesOf(flags)).toBe('Note: pixels at an end of the scanner’s scale; crossings left out.');
    expect(notesOf([])).toBe('');
  });
});
