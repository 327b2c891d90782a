/** The reading: which colours it lays side by side, where it looks for their texture, what it says of the measuring. */
import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, test, vi } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { sentence } from '../../analysis/report/sentences.ts';
import type { FindingsReport, TracedFinding, Work } from '../../electron/backend/api.ts';
import { keptTogether } from '../../renderer/reading/keptTogether.ts';
import { calibrationText, measuredLines, partsText, whenText } from '../../renderer/reading/measuredWords.ts';
import { plotFor } from '../../renderer/reading/plotFor.ts';
import { Reading } from '../../renderer/reading/Reading.tsx';
import { againstPaper, shownColours } from '../../renderer/reading/shownColours.ts';
import { stripPiece, textureSquare } from '../../renderer/reading/texturePlace.ts';
import { untoldRegions } from '../../renderer/reading/untold.ts';
import { namesOfWork } from '../../renderer/reading/workNames.ts';
import { QUANTITY_NAMES } from '../report/namesInCode.ts';
import { detailOf, details, inkDetail, stripDetail, traced, work as plotted } from './plotsSample.ts';

const work: Work = {
  ink: {
    id: 1,
    name: 'Curlew Midnight',
    maker: 'Marram & Tide',
    claim: null,
    invented: true,
    scans: 4,
    regions: 14,
    findings: traced.length,
    swatches: [],
    stages: { scans: 'done', findings: 'done' },
    attention: '',
    changedAt: '2026-01-02T03:04:05Z',
  },
  revision: 1,
  scans: plotted.scans.map(({ id, paper }) => ({
    id,
    hash: 'c9bc13b01608194fd995',
    name: `${id}.png`,
    paper,
    side: 'front',
    of: null,
    dpi: 300,
    dpiFrom: 'file',
    widthPx: 1800,
    heightPx: 2400,
    bits: 16,
    icc: null,
    notes: [],
    problem: null,
    target: null,
    colours: { key: 'c1', by: 'calibration', words: 'colours through the calibration' },
    tileSize: 256,
    levels: 5,
  })),
  target: null,
  regions: plotted.regions.map(({ region }) => ({ region, problem: null, measured: 'current' })),
  undo: null,
  redo: null,
  steps: { undo: null, redo: null },
  job: null,
};

const report: FindingsReport = {
  findings: traced,
  calibrations: [
    { key: 'c1', scan: 'target', judgement: 'good', model: 'rootPolynomial2', leftOutMedian: 0.5516, leftOut95: 1.699 },
  ],
  problems: [],
  measuredAt: '2026-01-02T03:04:05Z',
};

const names = namesOfWork(work, report);

function chosen(key: string): TracedFinding {
  const found = traced.find((one) => one.key === key);
  if (!found) throw new Error(`the sample has no finding ${key}`);
  return found;
}

describe('the colours side by side', () => {
  const shown = (key: string, of = details) =>
    shownColours(chosen(key).finding, names, of).map(({ label, lab, part }) => [label, lab.map(Math.round), part]);

  test.each([
    [
      'shading(ef-white)',
      [
        ['Dark tenth', [41, 11, -26], 'dark'],
        ['Light tenth', [49, 9, -24], 'light'],
      ],
    ],
    [
      'nibShading(ef-white,b-white)',
      [
        ['The extra-fine nib', [45, 10, -25], 'ink'],
        ['The broad nib', [30, 12, -23], 'ink'],
      ],
    ],
    [
      'toneShift(ef-white,ef-yellow)',
      [
        ['On “bright white, smooth”', [45, 10, -25], 'ink'],
        ['On “yellow, dyed”', [42, 5, -9], 'ink'],
      ],
    ],
    [
      'inkColour(b-white)',
      [
        ['Ink', [30, 12, -23], 'ink'],
        ['Its paper', [95, -0, 1], 'paper'],
      ],
    ],
    ['paperColour(bare-yellow)', [['Paper', [94, -6, 31], 'paper']]],
    [
      'bandColour(fresh)#1',
      [
        ['Band 1', [76, 40, 7], { fromMm: 62, toMm: 73 }],
        ['The strip’s paper', [94, 0, 1], { fromMm: 83, toMm: 89 }],
      ],
    ],
    [
      'originRetained(fresh)',
      [
        ['Origin', [70, 5, -10], { fromMm: 77, toMm: 83 }],
        ['The strip’s paper', [94, 0, 1], { fromMm: 83, toMm: 89 }],
      ],
    ],
  ])('%s', (key, expected) => {
    expect(shown(key)).toEqual(expected);
  });

  test('adapted, each ink is seen against its own paper, and the two are as far apart as the finding says', () => {
    const { finding } = chosen('toneShift.adapted(b-white,b-yellow)');
    const [white, yellow] = shownColours(finding, names, {});
    const far = deltaE2000(labD50(...white.lab), labD50(...yellow.lab));
    // The finding judges against the papers as they lie under the ink; here their marked boxes stand for them.
    expect(far).toBeCloseTo(Number(finding.value), 1);
    expect(againstPaper([60, 5, -20], [100, 0, 0])).toEqual([60, 5, -20].map((v) => expect.closeTo(v, 9)));
  });

  test.each([
    ['inkColour(b-white)', ['inkColour(b-white)', null]],
    ['toneShift(ef-white,ef-yellow)', ['inkColour(ef-white)', 'inkColour(ef-yellow)']],
    ['bandColour(fresh)#1', ['bandColour(fresh)#1', null]],
    ['shading(ef-white)', [null, null]],
  ])('%s: a colour has its u where a finding gives it', (key, from) => {
    const all = shownColours(chosen(key).finding, names, details).map(({ u }) => u ?? null);
    expect(all).toEqual(from.map((of) => of && chosen(of).finding.u));
    expect(from.every((of) => of === null || Array.isArray(chosen(of).finding.u))).toBe(true);
  });

  test('colours that no finding tells have their u from the region’s detail', () => {
    const doubt = { dark: [1, 2, 3], light: [2, 3, 4], paper: [0.5, 0.4, 0.3] } as const;
    const known = { ...details, 'b-white': { ...details['b-white'], doubt } };
    const uOf = (key: string) => shownColours(chosen(key).finding, names, known).map(({ u }) => u ?? null);
    expect(uOf('shading(b-white)')).toEqual([doubt.dark, doubt.light]);
    expect(uOf('inkColour(b-white)')[1]).toEqual(doubt.paper);
    // Seen by an eye used to the paper, an ink is as sure as both are.
    const [adapted] = uOf('toneShift.adapted(b-white,b-yellow)');
    const own = Number(uOf('inkColour(b-white)')[0]?.[0]);
    expect(adapted?.[0]).toBeGreaterThan(own);
    expect(adapted?.[0]).toBeLessThan(own + 0.5);
  });

  test('a dried band is laid beside the fresh one that it was matched with', () => {
    const dried = {
      ...stripDetail,
      bands: [
        { ...stripDetail.bands[0], band: 1, rF: 0.2 - 0.0382923, lab: [77, 38, 7] as const },
        { ...stripDetail.bands[1], band: 2, rF: 0.2, lab: [1, 1, 1] as const },
      ],
    };
    const both = { ...details, dried: detailOf('dried', { strip: dried }) };
    expect(shown('runShift(fresh,dried)#1', both).map(([label, lab]) => [label, lab])).toEqual([
      ['Fresh', [76, 40, 7]],
      ['Dried', [77, 38, 7]],
    ]);
    // Band 2 lies at 0.8 here, and nothing in the dried strip lies where its shift leads.
    expect(shown('runShift(fresh,dried)#2', both)).toHaveLength(1);
  });

  test('without details there is nothing to show of a strip, and the rest is told from the findings', () => {
    expect(shown('bandColour(fresh)#1', {})).toEqual([]);
    expect(shown('shading(ef-white)', {})).toEqual([]);
    expect(shown('inkColour(b-white)', {})[1]).toEqual(['Its paper', [95, -0, 1], 'paper']);
  });

  test('paper is looked at in its marked box where that is known', () => {
    const marked = { ...details, 'bare-white': detailOf('bare-white', {}) };
    expect(shownColours(chosen('inkColour(b-white)').finding, names, marked)[1].region).toBe('bare-white');
    expect(shownColours(chosen('inkColour(b-white)').finding, names, details)[1].region).toBe('b-white');
  });
});

describe('where the texture shows', () => {
  const detail = detailOf('ef-white', { ink: inkDetail, marks: true });

  test('is the square with the most of what is asked for', () => {
    // 40 × 10 marks over 400 × 100 px: dark in the columns 30 to 33 of the rows 2 to 5.
    const data = new Uint8Array(400);
    for (let row = 2; row < 6; row++) for (let column = 30; column < 34; column++) data[40 * row + column] = 3;
    const marks = { data, columns: 40, rows: 10 };
    expect(textureSquare(detail, 'dark', 40, marks)).toEqual({ x: 400, y: 220, width: 40, height: 40 });
    // No light pixel: the middle of the box.
    expect(textureSquare(detail, 'light', 40, marks)).toEqual({ x: 280, y: 230, width: 40, height: 40 });
  });

  test('never leaves the box, however large the square', () => {
    expect(textureSquare(detail, 'ink', 4000, null)).toEqual({ x: 250, y: 200, width: 100, height: 100 });
  });

  test('on a strip it is a piece of the lane', () => {
    const upright = detailOf('fresh', { boxPx: [10, 20, 100, 1000], strip: stripDetail });
    expect(stripPiece(upright, { fromMm: 20, toMm: 24 }, 10)).toEqual({ x: 40, y: 220, width: 40, height: 40 });
    expect(stripPiece(upright, { fromMm: 98, toMm: 104 }, 10)).toEqual({ x: 30, y: 960, width: 60, height: 60 });
    const lying = detailOf('fresh', { boxPx: [10, 20, 1000, 100], strip: { ...stripDetail, travel: 'left' } });
    expect(stripPiece(lying, { fromMm: 20, toMm: 24 }, 10)).toEqual({ x: 210, y: 50, width: 40, height: 40 });
  });
});

describe('how it was measured', () => {
  test('says method, limits, scan, calibration, parts of u and when', () => {
    const lines = measuredLines(chosen('shading(ef-white)'), work, report);
    expect(lines.map(({ title }) => title)).toEqual([
      'Method',
      'Word',
      'To mind',
      'Scan',
      'Calibration',
      'Uncertainty',
      'Measured',
    ]);
    const text = lines.map((one) => one.text).join('\n');
    expect(text).toContain('Dark and light tenth of the counted pixels, method shading/1.');
    expect(text).toContain('The word “strong” goes by limits at 1, 2.5 and 5 ΔE00.');
    expect(text).toContain('white.png, “bright white, smooth”, 300 dpi, 16 bits, content c9bc13b016.');
    expect(text).toContain(
      'Good, from the target in “target”; patches left out of the fit are off by 0.55 ΔE00 in the median and 1.70 at 95 %.',
    );
    expect(text).toMatch(/Standard uncertainties of \d\.\d+ ΔE00 from repeatability, .* and .* from placement, added/);
  });

  test('names both scans of a pair', () => {
    const titles = measuredLines(chosen('toneShift(b-white,b-yellow)'), work, report).map(({ title }) => title);
    expect(titles.filter((title) => title.startsWith('Scan'))).toEqual(['Scan “white”', 'Scan “yellow”']);
  });

  test('says what is not there', () => {
    expect(calibrationText(report, null)).toBe(
      'None: the scan’s values were read through its profile, or as sRGB without one.',
    );
    expect(calibrationText(report, 'c0123456789abc')).toBe('No longer among those of this ink (c012345678).');
    expect(partsText({ unit: '1', u: 0.1 })).toBe('');
    expect(whenText('not a time')).toBe('not a time');
  });

  test('keeps small parts of u readable', () => {
    const parts = { repeatability: 0.0049, calibration: 0, placement: 0.25 };
    expect(partsText({ unit: '°', u: 0.1, uParts: parts })).toMatch(
      /^standard uncertainties of 0\.0049° from repeatability, 0\.00° /,
    );
  });
});

test('every quantity has its plot, and only the paper’s texture, the layer’s own numbers and the back of a page none', () => {
  const none = QUANTITY_NAMES.filter((name) => plotFor(name) === 'none');
  expect(none.filter((name) => !/^(ghosting|bleedThrough)/.test(name))).toEqual([
    'paperTexture',
    'film',
    'contrastRatio',
    'contrastRatio.predicted',
    'hiding.predicted',
  ]);
  expect(plotFor('shading')).toBe('lightness');
  expect(plotFor('toneShift.adapted')).toBe('tone');
  expect(plotFor('toneShift.dC')).toBe('plane');
  expect(plotFor('runShift.front')).toBe('strip');
});

test('figures are not broken at a line’s end', () => {
  expect(keptTogether('by 4.5 ± 1.1 ΔE00, L* 29.7 ± 1.7, b* −2 and R_F 0.3')).toBe(
    'by 4.5\u00A0±\u00A01.1\u00A0ΔE00, L*\u00A029.7\u00A0±\u00A01.7, b*\u00A0−2 and R_F\u00A00.3',
  );
});

describe('as markup', () => {
  const markup = (one: TracedFinding | null, of: FindingsReport = report) =>
    renderToStaticMarkup(
      createElement(Reading, { work, findings: of, chosen: one, details, onChoose: vi.fn<(key: string) => void>() }),
    );

  test('the order is sentence, figure, colours, plot, flags, how', () => {
    const html = markup(chosen('shading(ef-white)'));
    const places = [
      'reading-sentence',
      'reading-value',
      'reading-colours',
      'plot-figure',
      'reading-flags',
      'reading-how',
    ].map((name) => html.indexOf(`class="${name}`));
    expect(places.every((place) => place > 0)).toBe(true);
    expect(places).toEqual([...places].sort((a, b) => a - b));
  });

  test('shows the very sentence that is told elsewhere', () => {
    const one = chosen('nibShading(m-white,b-white)');
    expect(markup(one).replaceAll('\u00A0', ' ')).toContain(sentence(one.finding, names));
  });

  test('a number that is out of date says so', () => {
    expect(markup(chosen('shading(ef-white)'))).not.toContain('Measure again');
    expect(markup({ ...chosen('shading(ef-white)'), current: false })).toContain(
      'Measure again to bring it up to date',
    );
  });

  test('a finding of each kind can be read', () => {
    const kinds = new Map(traced.map((one) => [one.finding.quantity, one]));
    expect(kinds.size).toBeGreaterThan(25);
    for (const one of kinds.values()) expect(markup(one)).not.toMatch(/undefined|NaN|\[object/);
  });

  test('with nothing chosen the ink is told in sentences; unmeasured it says what to do', () => {
    expect(markup(null)).toContain('The fresh strip shows three bands');
    expect(markup(null, { ...report, findings: [] })).toContain('Nothing is measured yet.');
    const untold = report.findings
      .filter(({ finding }) => finding.quantity === 'shading')
      .map((one) => ({ ...one, finding: { ...one.finding, value: null, u: null } }));
    expect(untold.length).toBeGreaterThan(0);
    expect(markup(null, { ...report, findings: untold })).toContain('Nothing could be told');
  });
});

describe('regions of which nothing can be told', () => {
  const problems = [
    { region: 'ef-white', message: 'no value: no ink was found.' },
    { region: 'm-white', message: 'no value: no ink was found.' },
    { region: 'gone', message: 'no value: it is of a region that was removed.' },
  ];
  const faulty = work.regions.map((one) =>
    one.region.id === 'fresh' ? { ...one, problem: 'its box lies off the scan.' } : one,
  );

  test('stand with why, those that fail alike together, and a region that was removed is silent', () => {
    expect(untoldRegions({ regions: faulty }, { problems })).toEqual([
      {
        why: 'no value: no ink was found.',
        regions: [
          { id: 'ef-white', scan: 'white' },
          { id: 'm-white', scan: 'white' },
        ],
      },
      { why: 'its box lies off the scan.', regions: [{ id: 'fresh', scan: 'strip-fresh' }] },
    ]);
  });

  test('an ink without a target is not told its colours without a word on them', () => {
    const [first, ...others] = report.findings;
    const rough = { ...first, finding: { ...first.finding, flags: ['uncalibrated'] } } satisfies TracedFinding;
    const props = { work, chosen: null, details: {}, onChoose: () => undefined };
    const findings = { ...report, findings: [rough, ...others] };
    const shown = renderToStaticMarkup(createElement(Reading, { ...props, findings }));
    expect(shown).toContain('No target serves some of these scans: differences are of use, colours are rough.');
  });

  test('are in the reading of the whole ink, each with the way to its box', () => {
    const shown = renderToStaticMarkup(
      createElement(Reading, {
        work: { ...work, regions: faulty },
        findings: { ...report, problems },
        chosen: null,
        details: {},
        onChoose: () => undefined,
      }),
    );
    expect(shown).toContain('Could not be told');
    expect(shown).not.toContain('colours are rough');
    expect(shown).toContain('href="#/ink/1/scans?scan=white&amp;region=m-white"');
    expect(shown).toContain('its box lies off the scan.');
  });
});
