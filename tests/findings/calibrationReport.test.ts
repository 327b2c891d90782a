/** The report card from made-up calibrations, figure by figure and word by word. */
import { describe, expect, test } from 'vitest';
import type { Calibration, Caution, FlatField } from '../../analysis/calibrate/calibration.ts';
import { calibrationCard } from '../../electron/findings/calibrationCard.ts';
import { dateWords, judgementSentence, percent, scannerName } from '../../electron/findings/calibrationWords.ts';
import { calibrationJson } from '../../electron/findings/findingsFile.ts';
import { calibration, input, patches, reportWith } from './madeUpReport.ts';

describe('figures', () => {
  test('of the fit, beside those of leaving out', () => {
    const report = reportWith({});
    expect(report).toMatchObject({ judgement: 'good', leftOutMedian: 0.7, leftOut95: 1.15, leftOutMax: 1.2 });
    expect(report.fittedMedian).toBeCloseTo(0.35, 12);
    expect(report.fittedMean).toBeCloseTo(0.35, 12);
    expect(report.fitted95).toBeCloseTo(0.575, 12);
    expect(report.fittedMax).toBeCloseTo(0.6, 12);
  });

  test('of the fit leave out what the fit left out', () => {
    const flagged = patches.map((p, i) => ({ ...p, flags: i === 5 ? (['covered'] as const) : p.flags }));
    expect(reportWith({}, { patches: flagged }).fittedMax).toBeCloseTo(0.5, 12);
  });

  test('patches lie where the four points put them', () => {
    const [first, , , fourth] = reportWith({}).patches;
    const rounded = first.cornersPx.map((corner) => corner.map((v) => Number(v.toFixed(6))));
    expect(rounded).toEqual([
      [100, 50],
      [200, 50],
      [200, 150],
      [100, 150],
    ]);
    expect(fourth.cornersPx[0][1]).toBeCloseTo(150, 6);
    expect(reportWith({}).patches.map(({ grey }) => grey)).toEqual([true, true, true, true, false, false]);
  });

  test('without greys in the layout, near-neutral references count as greys', () => {
    const layout = {
      ...input.target.layout,
      patches: input.target.layout.patches.map(({ id, boxMm }) => ({ id, boxMm })),
    };
    const report = reportWith({ target: { ...input.target, layout } });
    expect(report.patches.map(({ grey }) => grey)).toEqual([true, true, true, true, false, false]);
  });

  test('the reference’s own uncertainty, by patch and in all', () => {
    const { reference: lab } = patches[0];
    const reference = {
      patches: new Map([
        ['P1', { lab, u: [0.3, 0.4, 1.2] as const }],
        ['P2', { lab, u: [0, 0.3, 0.4] as const }],
      ]),
    };
    const { target, patches: rows } = reportWith({ target: { ...input.target, reference } });
    expect(rows.map(({ referenceU }) => referenceU)).toEqual([[0.3, 0.4, 1.2], [0, 0.3, 0.4], null, null, null, null]);
    expect(target.referenceU?.median).toBeCloseTo(0.9, 12);
    expect(target.referenceU?.largest).toBeCloseTo(1.3, 12);
    expect(target.referenceWords).toBe(
      'Its known values are sure to ± 1.8 ΔE*ab in the median and ± 2.6 at worst (twice their standard uncertainty).',
    );
  });
});

describe('model', () => {
  test('the chosen one is marked, and why it was chosen', () => {
    const { candidates, modelWords } = reportWith({});
    expect(candidates.map(({ chosen }) => chosen)).toEqual([false, true]);
    expect(modelWords).toBe(
      'A 3 × 3 matrix: the simplest of 2 candidates whose left-out mean lies within one standard error of the best ' +
        '(0.66 ΔE00 by a root polynomial of degree 2; standard error 0.06).',
    );
  });
  test('the best one says so', () => {
    expect(reportWith({}, { model: 'rootPolynomial2', ridge: 1e-3 }).modelWords).toBe(
      'A root polynomial of degree 2: the best of 2 candidates, each judged by leaving every patch out in turn.',
    );
  });
  test('no candidates: the model alone', () => {
    expect(reportWith({}, { candidates: [] }).modelWords).toBe('A 3 × 3 matrix.');
  });
});

describe('scanner', () => {
  test('blur: the thinnest line with a middle, by its edges or by its pixels', () => {
    // 6 pixels of 0.1 mm; two edges of 2.5631 × 0.2 mm.
    expect(reportWith({}).scanner.narrowestLineMm).toBeCloseTo(0.6, 12);
    expect(reportWith({ scannerBlurMm: 0.2 }).scanner.narrowestLineMm).toBeCloseTo(1.02524, 5);
    expect(reportWith({}).scanner.blurWords).toBe(
      'Edges are blurred by 0.077 mm (from 10 to 90 %). At 254 dpi lines from 0.60 mm on keep a middle that no blur ' +
        'reaches; narrower ones are read along their core with the blur undone, down to 0.30 mm.',
    );
    expect(reportWith({ scannerBlurMm: null }).scanner).toMatchObject({
      narrowestLineMm: null,
      blurWords: expect.stringContaining('neither discs nor a slanted edge'),
    });
  });

  test('noise', () => {
    expect(reportWith({}, { noise: { lightL: 0.4, darkL: 1.25 } }).scanner.noiseWords).toContain(
      '0.40 L* on the lightest patches and 1.25 L* on the darkest',
    );
    expect(reportWith({}).scanner.noiseWords).toBe('Too few pixels to tell how one scatters.');
  });

  test('clipping', () => {
    expect(reportWith({}).scanner).toMatchObject({
      clippedPatches: 0,
      largestClippedShare: 0,
      clippingWords: 'No pixel of any patch is clipped.',
    });
    const some = patches.map((p, i) => ({ ...p, clippedShare: i === 1 ? 0.004 : 0 }));
    expect(reportWith({}, { patches: some }).scanner.clippingWords).toContain('of the worst, 0.4 % of the pixels');
    const clipped = patches.map((p, i) => (i < 2 ? { ...p, clippedShare: 0.031, flags: ['clipped'] as const } : p));
    const report = reportWith({}, { patches: clipped });
    expect(report.scanner.clippedPatches).toBe(2);
    expect(report.scanner.clippingWords).toBe(
      '2 patches are clipped and were left out (P1 and P2): scan with less exposure, no automatic levels.',
    );
    expect(report.patches[0].notes).toEqual(['clipped (3.1 % of its pixels); left out of every fit']);
  });

  test.each([
    [{ make: 'Tern Works', model: 'Flat 12', software: null }, 'Tern Works Flat 12'],
    [{ make: 'Tern', model: 'TERN Flat 12', software: null }, 'TERN Flat 12'],
    [{ make: null, model: 'Flat 12', software: null }, 'Flat 12'],
    [{ make: 'Tern Works', model: null, software: null }, 'Tern Works'],
    [{ make: null, model: null, software: 'Slow Scan' }, null],
    [null, null],
  ])('%o is called %s', (identity, name) => {
    expect(scannerName(identity)).toBe(name);
  });
});

describe('light', () => {
  /** 4 % from left to right in red, nothing in green, 2 % from top to bottom in blue, over 50 × 30 mm. */
  const flatField: FlatField = {
    coefficients: [
      [1, 0.02, 0, 0, 0, 0],
      [1, 0, 0, 0, 0, 0],
      [1, 0, -0.01, 0, 0, 0],
    ],
    centreMm: [25, 15],
    halfMm: [25, 15],
    residual: 0.0012,
  };

  test('ranges over the scan, per channel', () => {
    const { light, lightWords } = reportWith({}, { flatField });
    [4, 0, 2].forEach((range, c) => expect(light?.rangePercent[c]).toBeCloseTo(range, 9));
    expect(light?.residualPercent).toBeCloseTo(0.12, 9);
    expect(light?.grid.percent[0].slice(0, 7).map((v) => Number(v.toFixed(6)))).toEqual(
      [-6, -4, -2, 0, 2, 4, 6].map((v) => Number((v / 3).toFixed(6))),
    );
    expect(light?.grid.percent[2][0]).toBeCloseTo(1, 9);
    expect(lightWords).toBe(
      'By the bare card around the patches, the light varies over this scan by 4.0 % in red, 0.0 % in green and 2.0 % in ' +
        'blue. It is divided out; single places still depart by 0.1 %.',
    );
  });

  test('a white sheet is named as its source', () => {
    const white = { info: input.target.info, dpi: 254 };
    const { light, lightWords } = reportWith({ target: { ...input.target, white } }, { flatField });
    expect(light?.from).toBe('white-sheet');
    expect(lightWords).toMatch(/^By the scan of a white sheet, /);
  });

  test('nothing to tell it by: what to do', () => {
    expect(reportWith({})).toMatchObject({
      light: null,
      lightWords: expect.stringContaining('Scan a bare white sheet'),
    });
  });
});

describe('words', () => {
  test.each<[string, Partial<Calibration>, string]>([
    ['good', {}, 'Good: a patch that the fit never saw is missed by 0.70 ΔE00 in the median'],
    ['usable', { judgement: 'usable', leftOutMedian: 1.5 }, 'Usable: a patch that the fit never saw is missed by 1.50'],
    ['poor', { judgement: 'poor', leftOutMedian: 3 }, 'See that the reference belongs to this target'],
    ['none', { judgement: 'none', leftOutMedian: null }, 'None: no target'],
  ])('%s', (_, made, words) => {
    expect(reportWith({}, made).words).toContain(words);
  });

  test.each<[string, Partial<Calibration>, string]>([
    [
      'usable',
      { judgement: 'usable' },
      'Usable, although a patch that the fit never saw is missed by 0.70 ΔE00 in the median: what is to be mended weighs more.',
    ],
    [
      'poor',
      { judgement: 'poor', leftOutMedian: 1.5 },
      'Poor, although a patch that the fit never saw is missed by 1.50 ΔE00 in the median: what is to be mended weighs more. Every number will carry a flag.',
    ],
  ])('held down by a caution to %s', (_, made, words) => {
    expect(reportWith({}, made).words).toBe(words);
  });

  test('what a caution says is not said twice', () => {
    const flagged = patches.map((p, i) => (i === 0 ? { ...p, flags: ['clipped'] as const } : p));
    const poor = { ...calibration, judgement: 'poor' as const, leftOutMedian: 3, patches: flagged };
    expect(judgementSentence(poor)).toMatch(/See that the reference belongs .* Clipped and left out: P1;/);
    const cautions: Caution[] = [
      { code: 'other-target', words: '…' },
      { code: 'clipped', words: '…' },
    ];
    expect(judgementSentence({ ...poor, cautions })).toBe(
      'Poor: a patch that the fit never saw is missed by 3.00 ΔE00 in the median, more than the 2.0 that can be used; every number will carry a flag.',
    );
  });

  test.each([
    [
      { by: 'person', score: 1, words: 'where a person put its four points' },
      'Located where a person put its four points.',
    ],
    [{ by: 'fiducials', score: 0.97, words: 'by its four discs' }, 'Located by its four discs: sure (0.97 of 1).'],
    [
      { by: 'grid', score: 0.6, words: 'by its grid' },
      'Located by its grid: fairly sure (0.60 of 1): see that the grid lies on the patches.',
    ],
    [
      { by: 'grid', score: 0.3, words: 'by its grid' },
      'Located by its grid: unsure (0.30 of 1): see that the grid lies on the patches, else place its four points by hand.',
    ],
    [null, 'How it was located was not kept by the version that calibrated it.'],
  ] as const)('located %o', (located, words) => {
    expect(reportWith({ located }).target.locatedWords).toBe(words);
  });

  test.each([
    [{ kind: 'few-dyes', by: 'greys' }, /^It seems to be printed with few dyes, by its greys\. .* 1\.5 to 1\.8 ΔE00/],
    [
      { kind: 'varied', by: 'spectra' },
      /^It seems to hold many colorants, by the spectra of its reference: .* 1\.1 ΔE00/,
    ],
    [{ kind: 'cannot-tell', by: 'nothing' }, /^What it is printed with cannot be told/],
  ] as const)('colorants %o', (colorants, words) => {
    expect(reportWith({}, { colorants }).target.colorantsWords).toMatch(words);
  });

  test('dates and small shares', () => {
    expect([dateWords('2026-05-03T10:15:00'), dateWords('2026-12-31T00:00:00.000Z')]).toEqual([
      '3 May 2026',
      '31 December 2026',
    ]);
    expect([percent(0), percent(0.04), percent(1.25)]).toEqual(['0.0 %', '0.04 %', '1.3 %']);
  });
});

describe('written', () => {
  test('as JSON that reads back whole, a patch a line', () => {
    const report = reportWith({});
    const json = calibrationJson(report);
    expect(JSON.parse(json)).toEqual(JSON.parse(JSON.stringify(report)));
    expect(json.split('\n').filter((line) => line.includes('"dE00LeftOut"'))).toHaveLength(6);
  });

  test('the keys of the contract stay', () => {
    expect(Object.keys(reportWith({}))).toEqual(
      expect.arrayContaining(
        'format judgement model leftOutMedian leftOutMean leftOut95 leftOutMax greyMaxChroma patches candidates'.split(
          ' ',
        ),
      ),
    );
  });

  test('as text, patches that no fit saw do not hide the worst that were judged', () => {
    const covered = patches.map((p, i) => (i === 5 ? { ...p, dE00LeftOut: 78, flags: ['covered'] as const } : p));
    const text = calibrationCard(reportWith({}, { patches: covered }));
    expect(text).not.toContain('78.00');
    expect(text).toContain('P5');
  });

  test('as text: sentence, cautions worst first, then figures', () => {
    const cautions: Caution[] = [
      { code: 'uneven-light', words: 'The light varies by 14 %; expected less than 5 %. Scan a white sheet.' },
      { code: 'noisy', words: 'Much noise; expected less. Scan slower.' },
    ];
    const text = calibrationCard(reportWith({}, { cautions }));
    const places = [
      'Good:',
      '– The light varies',
      '– Much noise',
      'left-out ΔE00   median 0.70',
      'fitted ΔE00     median 0.35',
      '* linear',
      'P6',
      'Located by',
      'Held against',
    ];
    const found = places.slice(0, -1).map((words) => text.indexOf(words));
    expect(found.every((at) => at >= 0)).toBe(true);
    expect(found).toEqual(found.toSorted((a, b) => a - b));
    expect(text.split('\n').every((line) => line.length < 130)).toBe(true);
  });
});
