import { describe, expect, test } from 'vitest';
import type { Quantity, Unit } from '../../analysis/quantity.ts';
import { findingKey } from '../../analysis/report/findingKey.ts';
import { inkSummary } from '../../analysis/report/inkSummary.ts';
import { namesOf, type RegionName } from '../../analysis/report/names.ts';
import { nibByNib } from '../../analysis/report/nibByNib.ts';
import { openQuestions } from '../../analysis/report/openQuestions.ts';
import { sampleFinding, sampleFindings, sampleNames, sampleRegions } from './sampleNames.ts';

test('keys name a finding by quantity, regions and band', () => {
  expect(findingKey(sampleFinding('shading(ef-white)'))).toBe('shading(ef-white)');
  expect(findingKey({ quantity: 'nibShading', subject: { regions: ['a', 'b'] } })).toBe('nibShading(a,b)');
  expect(findingKey({ quantity: 'bandColour', subject: { regions: ['fresh'], band: 2 } })).toBe('bandColour(fresh)#2');
  expect(new Set(sampleFindings.map(findingKey)).size).toBe(sampleFindings.length);
});

test('the sample ink in a few sentences, each with a finding behind it', () => {
  const parts = inkSummary(sampleNames);
  expect(parts.map(({ title }) => title)).toEqual(['Colour', 'Shading', 'On other paper', 'In the strip']);
  const [colour, shading, paper, strips] = parts.map(({ lines }) => lines);
  expect(colour).toHaveLength(6);
  expect(colour[0].text).toBe(
    'The extra-fine nib writes moderate violet or moderate purplish blue on “bright white, smooth”.',
  );
  // The most shading of all: twelve, on yellow.
  expect(shading[0]).toEqual({
    key: 'shading(ef-yellow)',
    colours: [],
    text: 'The extra-fine nib’s writing on “yellow, dyed” shades by 12.0 ± 2.6 ΔE00 between its dark and its light tenth: strong.',
  });
  expect(colour[0].figures).toBe('L* 44.9 ± 1.5, hue 292 ± 14°');
  expect(colour[0].colours).toEqual([sampleFinding('inkColour(ef-white)').value]);
  expect(shading[1].key).toBe('nibShading(ef-white,b-white)');
  expect(paper.map(({ key }) => key)).toEqual(['toneShift.adapted(b-white,b-yellow)']);
  expect(strips[0].text).toBe(
    'The fresh strip shows three bands: strong purplish pink or strong pink; pale yellow green or pale greenish yellow; vivid blue.',
  );
  expect(strips[0].colours).toHaveLength(3);
  for (const { key } of parts.flatMap(({ lines }) => lines)) expect(sampleNames.findings.has(key)).toBe(true);
});

test('with which nib it shades most and least, where they differ by more than the uncertainty', () => {
  const nibs = (ef: number, m: number, u: number) =>
    (['ef-white', 'm-white', 'ef-yellow'] as const).map((id, i) => ({
      ...sampleFinding('shading(ef-white)'),
      subject: { regions: [id] },
      value: [ef, m, 9][i],
      u,
    }));
  const told = (ef: number, m: number, u: number) => inkSummary(namesOf(sampleRegions, nibs(ef, m, u)))[0].lines.at(-1);
  expect(told(3, 6, 0.4)).toMatchObject({
    text: 'On “bright white, smooth” it shades most with the medium nib (6.00 ± 0.80 ΔE00) and least with the extra-fine one (3.00 ± 0.80 ΔE00).',
    key: 'shading(m-white)',
  });
  expect(told(5, 6, 0.4)?.text).toContain('shades about as much with each nib: from 5.00 ± 0.80 ΔE00 to 6.00 ± 0.80');
  // One nib on two papers: nothing to hold against each other.
  const alone = nibs(3, 6, 0.4).filter(({ subject }) => subject.regions[0] !== 'm-white');
  expect(inkSummary(namesOf(sampleRegions, alone))[0].lines).toHaveLength(1);
});

test('nibs are held against each other where most of them wrote, a nib by its first sample, swabs not at all', () => {
  const sample = (id: string, nib: string | null, paper: string | null, kind = 'strokes'): RegionName => ({
    id,
    kind,
    nib,
    paper,
    run: null,
  });
  const shades = (id: string, value: number | null, u: number | null = 0.4) => ({
    ...sampleFinding('shading(ef-white)'),
    subject: { regions: [id] },
    value,
    u,
  });
  const told = (regions: readonly RegionName[], findings: readonly ReturnType<typeof shades>[]) =>
    nibByNib(findings, namesOf(regions, findings));
  const pages = [
    sample('f-yellow', 'F', 'yellow'),
    sample('f', 'F', 'white'),
    sample('f-again', 'F', 'white'),
    sample('b', 'B', 'white'),
    sample('brush', 'BB', 'white', 'swab'),
    sample('unknown', null, 'white'),
  ];
  const all = pages.map(({ id }, i) => shades(id, [20, 3, 30, 6, 40, 50][i]));
  expect(told(pages, all)?.text).toBe(
    'On “white” it shades most with the broad nib (6.00 ± 0.80 ΔE00) and least with the fine one (3.00 ± 0.80 ΔE00).',
  );
  const two = [sample('f', 'F', null), sample('b', 'B', null)];
  expect(told(two, [shades('f', 3), shades('b', 6)])?.text).toMatch(/^It shades most with the broad nib/);
  expect(told(two, [shades('f', 3), shades('b', null)])).toBeNull();
  // Apart by more than 2u of both, √(0.4² + 0.4²): 1.13.
  expect(told(two, [shades('f', 3), shades('b', 4.1)])?.text).toBe(
    'It shades about as much with each nib: from 3.00 ± 0.80 ΔE00 to 4.10 ± 0.80 ΔE00, within the uncertainty.',
  );
  expect(told(two, [shades('f', 3), shades('b', 4.2)])?.text).toMatch(/^It shades most/);
});

test('an ink without findings has no summary, and one without strips none of strips', () => {
  expect(inkSummary(namesOf(sampleRegions))).toEqual([]);
  const written = sampleFindings.filter(({ quantity }) => quantity === 'inkColour');
  expect(inkSummary(namesOf(sampleRegions, written)).map(({ title }) => title)).toEqual(['Colour']);
});

test('a strip without bands says so', () => {
  const none = {
    quantity: 'bandColour',
    subject: { regions: ['fresh'] },
    value: null,
    u: null,
    unit: 'Lab',
    flags: ['no-bands'],
    method: 'bandColour/1',
  } as const;
  const [part] = inkSummary(namesOf(sampleRegions, [none]));
  expect(part.lines[0].text).toMatch(
    /^The colour of the bands of the fresh strip cannot be told, because no band rises/,
  );
});

test('what may be another ink stands first, with its distance', () => {
  const odd = {
    quantity: 'pathDistance',
    subject: { regions: ['m-white'] },
    value: 6.2,
    u: 0.5,
    unit: 'ΔE00',
    flags: ['another-ink'],
    method: 'pathDistance/1',
  } as const;
  const [first] = inkSummary(namesOf(sampleRegions, [...sampleFindings, odd]));
  expect(first.title).toBe('Another ink or contaminated?');
  expect(first.lines.map(({ key }) => key)).toEqual(['pathDistance(m-white)']);
  expect(first.lines[0].text).toContain('6.2 ± 1.0 ΔE00');
  // A dirty pen is so on every paper: one line, by the sample that is farthest off; another pen has its own.
  const onYellow = { ...odd, subject: { regions: ['m-yellow'] }, value: 7.1 };
  const broad = { ...odd, subject: { regions: ['b-white'] }, value: 9 };
  const [several] = inkSummary(namesOf(sampleRegions, [odd, onYellow, broad]));
  expect(several.lines.map(({ key }) => key)).toEqual(['pathDistance(m-yellow)', 'pathDistance(b-white)']);
  expect(several.lines[0].text).toMatch(/^The medium nib.* contaminated\. So may another sample of this nib\.$/);
  const [other] = inkSummary(namesOf(sampleRegions, [...sampleFindings, { ...odd, flags: [] }]));
  expect(other.title).toBe('Colour');
});

test('of several odd samples of a pen the farthest off is told, whatever their order; swabs are no pen', () => {
  const odd = (region: string, value: number | null) =>
    ({
      quantity: 'pathDistance',
      subject: { regions: [region] },
      value,
      u: value === null ? null : 0.5,
      unit: 'ΔE00',
      flags: ['another-ink'],
      method: 'pathDistance/1',
    }) as const;
  const lines = (...findings: readonly ReturnType<typeof odd>[]) =>
    inkSummary(namesOf([...sampleRegions, third], findings)).flatMap(({ lines: own }) => own);
  const third: RegionName = { id: 'm-third', kind: 'strokes', nib: 'M', paper: 'laid', run: null };
  const three = lines(odd('m-white', 9), odd('m-yellow', 6), odd('m-third', 8));
  expect(three.map(({ key }) => key)).toEqual(['pathDistance(m-white)']);
  expect(three[0].text).toMatch(/contaminated\. So may 2 other samples of this nib\.$/);
  const [alone] = lines(odd('m-white', 9), odd('m-yellow', null));
  expect(alone.text).toMatch(/it may be another ink, or contaminated\.$/);
  expect(lines(odd('swab-even-white', 9), odd('swab-graded-white', 8))).toHaveLength(2);
});

test('a nib’s width that cannot be is asked after in one line', () => {
  const wrong = {
    quantity: 'spread',
    subject: { regions: ['m-white'] },
    value: -89.2,
    u: 0.4,
    unit: '%',
    flags: ['nib-width-doubtful'],
    method: 'spread/2',
  } as const;
  const [first] = inkSummary(namesOf(sampleRegions, [...sampleFindings, wrong]));
  expect(first.title).toBe('Nib width or dpi wrong?');
  expect(first.lines.map(({ text }) => text)).toEqual([
    'The lines of the medium nib’s writing on “bright white, smooth” come out 89.20 ± 0.80 % narrower than the nib is said to be: is its width wrong, or the scan’s dpi?',
  ]);
});

test('a broad nib whose lines are narrower than a fine one’s is asked after once, on the paper where most; sure differences alone', () => {
  const width = (region: string, value: number, u = 0.01): Quantity => ({
    quantity: 'lineWidth',
    subject: { regions: [region] },
    value,
    u,
    unit: 'mm',
    flags: [],
    method: 'lineWidth/1',
  });
  const asked = (...widths: Quantity[]) =>
    inkSummary(namesOf(sampleRegions, widths)).find(({ title }) => title === 'Nibs’ names exchanged?')?.lines;
  expect(asked(width('ef-white', 0.9), width('m-white', 0.4), width('ef-yellow', 1), width('m-yellow', 0.4))).toEqual([
    {
      text: 'The lines of the medium nib on “yellow, dyed” are 0.400 ± 0.020 mm wide, those of the extra-fine nib 1.000 ± 0.020 mm: are the two nibs’ names exchanged, or are the pens of two makers?',
      key: 'lineWidth(m-yellow)',
      colours: [],
    },
  ]);
  expect(asked(width('ef-white', 0.42), width('m-white', 0.4), width('b-white', 0.5))).toBeUndefined();
  expect(asked(width('ef-white', 0.5, 0.05), width('m-white', 0.4, 0.05))).toBeUndefined();
  // On two papers an ink spreads differently: nothing is said.
  expect(asked(width('ef-yellow', 0.9), width('m-white', 0.4))).toBeUndefined();
});

describe('edges and sheen', () => {
  const measured = (
    quantity: 'spread' | 'feathering' | 'sheen',
    region: string,
    value: number | null,
    verdict?: string,
  ) => ({
    quantity,
    subject: { regions: [region] },
    value,
    u: value === null ? null : 0.5,
    unit: quantity === 'feathering' ? ('mm' as const) : ('%' as const),
    flags: value === null ? (['below-resolution'] as const) : [],
    method: 'by hand/1',
    ...(verdict === undefined ? {} : { verdict }),
  });
  const linesOf = (...findings: readonly ReturnType<typeof measured>[]) =>
    inkSummary(namesOf(sampleRegions, findings)).flatMap(({ title, lines }) =>
      title === 'Edges and sheen' ? lines : [],
    );

  test('are told by the sample that shows most, in its own sentence', () => {
    const [line, ...others] = linesOf(
      measured('spread', 'ef-white', 8, 'none'),
      measured('spread', 'm-white', 13, 'faint'),
    );
    expect(others).toEqual([]);
    expect(line.key).toBe('spread(m-white)');
    expect(line.text).toBe(
      'The lines of the medium nib’s writing on “bright white, smooth” are wider than the nib by 13.0 ± 1.0 %: faint.',
    );
  });

  test('that are none where they are most are none anywhere, also where nothing at all was found', () => {
    const none = linesOf(measured('sheen', 'ef-white', 0, 'none'), measured('sheen', 'm-white', 0, 'none'));
    expect(none.map(({ text }) => text)).toEqual([
      'No sheen to speak of, as far as a scanner sees it, in any of 2 samples: at most 0.0 ± 1.0 %.',
    ]);
    const one = linesOf(measured('feathering', 'ef-white', 0, 'none'));
    expect(one.map(({ text }) => text)).toEqual([
      'No feathering to speak of in the extra-fine nib’s writing: 0.0 ± 1.0 mm.',
    ]);
  });

  test('that no sample can tell say why, and do not while one can', () => {
    const [line] = linesOf(measured('feathering', 'ef-white', null));
    expect(line.text).toMatch(
      /^The feathering of the extra-fine nib’s writing on “bright white, smooth” cannot be told/,
    );
    const [told] = linesOf(measured('feathering', 'ef-white', null), measured('feathering', 'm-white', 3, 'strong'));
    expect(told.key).toBe('feathering(m-white)');
  });
});

const number = (quantity: Quantity['quantity'], regions: readonly string[], value: number | null, unit: Unit = '%') =>
  ({
    quantity,
    subject: { regions },
    value,
    u: value === null ? null : 0.5,
    unit,
    flags: value === null ? ['few-pixels'] : [],
    method: 'by hand/1',
  }) satisfies Quantity;

test('of a back what can be told is said: what shows, what came through and what reached the next sheet', () => {
  const back = (id: string): RegionName => ({ id, kind: 'reverse', nib: null, paper: 'laid', run: null });
  const keys = (...findings: readonly Quantity[]) =>
    inkSummary(namesOf([back('one'), back('two')], findings)).flatMap(({ title, lines }) =>
      lines.map(({ key }) => `${title}: ${key}`),
    );
  const ghosting = (id: string, value: number | null) => number('ghosting', [id], value, 'ΔL*');
  const bleed = (id: string, value: number | null) => number('bleedThrough', [id], value);
  expect(keys(ghosting('one', 1), bleed('one', 2), number('bleedThrough.next', ['two'], 3, 'dots'))).toEqual([
    'On the back: ghosting(one)',
    'On the back: bleedThrough(one)',
    'On the back: bleedThrough.next(two)',
  ]);
  expect(keys(number('bleedThrough.dots', ['one'], 3, 'dots'), number('ghosting.printThrough', ['one'], 3))).toEqual(
    [],
  );
  // A reverse without its front has a ghosting, and nothing that came through.
  expect(keys(ghosting('one', 1), bleed('one', null))).toEqual(['On the back: ghosting(one)']);
  expect(keys(ghosting('one', null), ghosting('two', 1))).toEqual([
    'On the back: ghosting(one)',
    'On the back: ghosting(two)',
  ]);
});

test('of each two papers the pen whose colour shifts most is told, swabs only without one, and how it hides', () => {
  const lines = (...findings: readonly Quantity[]) =>
    inkSummary(namesOf(sampleRegions, findings)).flatMap(({ lines: own }) => own.map(({ key }) => key));
  const shift = (from: string, to: string, value: number) => number('toneShift.adapted', [from, to], value, 'ΔE00');
  const hides = (from: string, to: string) => number('hiding', [from, to], 0.5, '1');
  const swabs = shift('swab-graded-white', 'swab-graded-yellow', 9);
  expect(lines(shift('m-white', 'm-yellow', 2), shift('b-white', 'b-yellow', 5), swabs)).toEqual([
    'toneShift.adapted(b-white,b-yellow)',
  ]);
  expect(lines(swabs)).toEqual(['toneShift.adapted(swab-graded-white,swab-graded-yellow)']);
  expect(lines(shift('m-white', 'm-yellow', 2), hides('b-white', 'b-yellow'), hides('m-white', 'm-yellow'))).toEqual([
    'toneShift.adapted(m-white,m-yellow)',
    'hiding(m-white,m-yellow)',
  ]);
});

test('a strip’s bands are counted in words, as far as they have names', () => {
  const band = (id: string, i: number, verdict: string | undefined): Quantity => ({
    ...number('bandColour', [id], null),
    subject: { regions: [id], band: i },
    ...(verdict !== undefined && { value: [50, 1, 2], u: [1, 1, 1], verdict }),
    unit: 'Lab',
  });
  const told = (...words: readonly (string | undefined)[]) => {
    const findings = words.map((word, i) => band('fresh', i + 1, word));
    return inkSummary(namesOf(sampleRegions, [...findings, band('dried', 1, 'deep blue')]))[0].lines[0].text;
  };
  expect(told('vivid blue', undefined)).toBe('The fresh strip shows one band: vivid blue.');
  expect(told(...Array<string>(7).fill('blue'))).toMatch(/^The fresh strip shows 7 bands: blue; /);
});

test('what nothing can tell yet is asked for, and what can be told is not', () => {
  const asks = (regions: readonly RegionName[]) => openQuestions(namesOf(regions)).map((question) => question.asks);
  const one = { id: 'a', kind: 'strokes', nib: 'M', paper: 'white', run: null } as const;
  const strip = { id: 's', kind: 'strip', nib: null, paper: null, run: 'fresh' } as const;
  const [nib, paper, back, strips] = [
    'Which nib suits it',
    'What coloured paper does to it',
    'Ghosting and bleed-through',
    'Its dyes, and what of them survives water',
  ];
  expect(asks([one])).toEqual([nib, paper, back, strips]);
  expect(asks([one, { ...one, id: 'b', nib: 'B' }])).toEqual([paper, back, strips]);
  expect(asks([one, { ...one, id: 'b', kind: 'swab', nib: null, paper: 'yellow' }])).toEqual([nib, back, strips]);
  expect(asks([one, { ...one, id: 'b', kind: 'reverse' }])).toEqual([nib, paper, strips]);
  expect(asks([one, strip])).toEqual([nib, paper, back, 'What survives water']);
  expect(asks([one, strip, { ...strip, id: 't', run: 'dried' }])).toEqual([nib, paper, back]);
  // The sample has all but a back.
  expect(asks(sampleRegions)).toEqual([back]);
});
