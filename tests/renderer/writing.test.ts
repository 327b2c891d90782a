/** Nibs and papers on one page: which cells there are, what they say, and what they ask for. */
import { describe, expect, test } from 'vitest';
import type { Quantity, QuantityName } from '../../analysis/quantity.ts';
import { LINE_SENTENCES } from '../../analysis/report/lineSentences.ts';
import type { SheetRegion, TracedFinding } from '../../electron/backend/api.ts';
import { tableRows } from '../../renderer/findings/arrange/copiedTable.ts';
import { csvText } from '../../renderer/look/spreadsheet.ts';
import { limitWords } from '../../renderer/findings/tables/limitWords.ts';
import {
  cellColour,
  cellNumbers,
  cellWords,
  CELL_NUMBERS,
  leadingFinding,
  OF_LINES,
  oddOne,
} from '../../renderer/writing/cellWords.ts';
import { doubtWords } from '../../renderer/writing/doubtWords.ts';
import { gridTable } from '../../renderer/writing/gridTable.ts';
import { cellOfRegion, gaps, nibGrid } from '../../renderer/writing/nibGrid.ts';
import {
  nextScale,
  PICTURE,
  pictureIn,
  scaleBar,
  scaleIn,
  SCALES,
  thumbnailOf,
} from '../../renderer/writing/thumbnailPicture.ts';
import { WRITING_FIGURES } from '../../renderer/findings/arrange/writingGrid.ts';

type Strokes = Extract<SheetRegion, { kind: 'strokes' }>;

const lines = (id: string, more: Partial<Strokes> = {}): SheetRegion => ({
  id,
  scan: 'page',
  kind: 'strokes',
  boxMm: [10, 20, 60, 15],
  ...more,
});

function found(quantity: QuantityName, region: string, more: Partial<Quantity> = {}): TracedFinding {
  const finding: Quantity = {
    quantity,
    subject: { regions: [region] },
    value: 1.5,
    u: 0.2,
    unit: 'ΔE00',
    flags: [],
    method: `${quantity}/1`,
    ...more,
  };
  return {
    key: `${quantity}(${region})`,
    finding,
    current: true,
    trace: { scans: [], calibration: null, measuredAt: '2026-01-01T00:00:00Z' },
  };
}

function gridOf(regions: readonly SheetRegion[], findings: readonly TracedFinding[] = []) {
  return nibGrid(
    {
      scans: [],
      job: null,
      regions: regions.map((region) => ({ region, problem: null, measured: 'never' as const })),
    },
    { findings, problems: [] },
  );
}

describe('columns', () => {
  test('from thin to thick, then by stamped name, lines without a nib last', () => {
    const { nibs } = gridOf([
      lines('a', { nib: 'B', nibWidthMm: 1.1 }),
      lines('b', { nib: 'fude' }),
      lines('c', {}),
      lines('d', { nib: 'M' }),
      lines('e', { nib: 'F' }),
      lines('f', { nib: 'EF', nibWidthMm: 0.4 }),
      lines('g', { nib: 'architect' }),
    ]);
    expect(nibs.map(({ nib }) => nib)).toEqual(['EF', 'B', 'F', 'M', 'architect', 'fude', null]);
  });

  test('a nib’s width that one of its regions gives is the width of all; two widths are two nibs', () => {
    const one = gridOf([lines('a', { nib: 'M' }), lines('b', { nib: 'M', nibWidthMm: 0.6, paper: 'laid' })]);
    expect(one.nibs).toEqual([{ key: 'M', nib: 'M', widthMm: 0.6 }]);
    const two = gridOf([
      lines('a', { nib: 'M', nibWidthMm: 0.7 }),
      lines('b', { nib: 'M', nibWidthMm: 0.5, paper: 'laid' }),
    ]);
    expect(two.nibs.map(({ widthMm }) => widthMm)).toEqual([0.5, 0.7]);
    expect(two.papers[0].cells[0].todo).toBe('Write with the M nib of 0.5 mm on the paper of “page”');
  });
});

describe('rows and cells', () => {
  const grid = gridOf([
    lines('a', { nib: 'EF', nibWidthMm: 0.4, paper: 'white' }),
    lines('b', { nib: 'M', nibWidthMm: 0.6, paper: 'white' }),
    lines('c', { nib: 'M', nibWidthMm: 0.6, paper: 'white' }),
    lines('d', { nib: 'EF', nibWidthMm: 0.4, paper: 'yellow' }),
    { id: 's', scan: 'page', kind: 'swab', boxMm: [0, 0, 9, 9], paper: 'black' },
    { id: 'p', scan: 'page', kind: 'paper', boxMm: [0, 0, 9, 9], paper: 'blotter' },
  ]);

  test('papers in the sheet’s order, also those that wait to be written on, but not bare ones', () => {
    expect(grid.papers.map(({ paper }) => paper)).toEqual(['white', 'yellow', 'black']);
  });

  test('a gap says what to write; several samples of one nib share a cell', () => {
    expect(grid.papers.map(({ cells }) => cells.map(({ samples }) => samples.map(({ region }) => region.id)))).toEqual([
      [['a'], ['b', 'c']],
      [['d'], []],
      [[], []],
    ]);
    expect(grid.papers[1].cells.map(({ todo }) => todo)).toEqual(['', 'Write with the M nib on “yellow”']);
    expect(gaps(grid)).toBe(3);
  });

  test('a region that is drawn but gives nothing says why', () => {
    expect(grid.papers[0].cells[0].samples[0].missing).toBe('not measured yet: press Measure');
  });

  test('the address finds a cell by its region', () => {
    expect(cellOfRegion(grid, 'c')).toBe('M|white');
    expect([cellOfRegion(grid, 's'), cellOfRegion(grid, undefined)]).toEqual([null, null]);
  });
});

describe('a cell', () => {
  const findings = [
    found('inkColour', 'a', { value: [40, 5, -30], u: [1, 1, 1], unit: 'Lab', verdict: 'moderate blue' }),
    found('shading', 'a', { verdict: 'faint', limits: [1, 2.5, 5] }),
    found('spread', 'a', { value: null, u: null, unit: '%', flags: ['no-nib-width'] }),
    found('feathering', 'a', { value: 0.01, unit: 'mm', verdict: 'none', limits: [0.03, 0.08, 0.2] }),
    found('sheen', 'a', { value: 12, unit: '%', verdict: 'clear', limits: [1, 10, 30] }),
    found('lineWidth', 'a', { value: 0.41, unit: 'mm' }),
    found('pathDistance', 'a', { value: 6.2 }),
  ];
  const sample = gridOf([lines('a')], findings).papers[0].cells[0].samples[0];

  test('says the words, and those that say nothing stand back', () => {
    expect(cellWords(sample).map(({ label, word, quiet }) => [label, word, quiet])).toEqual([
      ['shading', 'faint', false],
      ['spread', 'cannot tell', true],
      ['feathering', 'none', true],
      ['sheen', 'clear', false],
    ]);
    expect(cellColour(sample)).toMatchObject({ lab: [40, 5, -30], name: 'moderate blue' });
  });

  test('asks after a nib’s width that cannot be', () => {
    const wrong = found('spread', 'a', { value: -89, unit: '%', flags: ['nib-width-doubtful'] });
    const [cell] = gridOf([lines('a')], [wrong]).papers[0].cells[0].samples;
    expect(cellWords(cell)).toMatchObject([{ label: 'spread', word: 'nib width or dpi wrong?', quiet: false }]);
  });

  test('gives all its numbers on demand, and opens what is asked first', () => {
    expect(cellNumbers(sample).map(({ label }) => label)).toEqual([
      'colour',
      'shading',
      'line width',
      'spread',
      'feathering',
      'sheen',
      'off the path',
    ]);
    expect(leadingFinding(sample)?.key).toBe('shading(a)');
    expect(leadingFinding({ ...sample, findings: [] })).toBeNull();
  });

  test('no ink, no colour, and the reason', () => {
    const bare = { ...sample, findings: [found('inkColour', 'a', { value: null, u: null, flags: ['no-ink'] })] };
    expect(cellColour(bare)).toMatchObject({ lab: null, name: expect.stringContaining('nothing in its box') });
  });

  test('is marked when its colour left the ink’s own path by more than its uncertainty', () => {
    expect(oddOne(sample)).toBeNull();
    const odd = found('pathDistance', 'a', { value: 6.2, flags: ['another-ink'] });
    expect(oddOne({ ...sample, findings: [odd] })).toBe(odd);
  });

  test('leaves out no figure that the tables show of lines', () => {
    const shown = OF_LINES.map(({ quantity }) => quantity);
    const ofLines = WRITING_FIGURES.flatMap(({ quantities }) => [...quantities]).filter(
      (quantity) => !quantity.startsWith('swabVariation'),
    );
    expect(shown.toSorted()).toEqual(ofLines.toSorted());
  });

  test('every quantity of lines has its place', () => {
    const shown: readonly string[] = CELL_NUMBERS.map(({ quantity }) => quantity);
    expect(Object.keys(LINE_SENTENCES).filter((quantity) => !shown.includes(quantity))).toEqual([]);
  });

  test('tells what its paper does to it, and it to its paper: the pair with the palest paper, and the back behind it', () => {
    const pair = (quantity: QuantityName, regions: readonly string[], more: Partial<Quantity>): TracedFinding => {
      const one = found(quantity, regions.join(' '), more);
      return { ...one, finding: { ...one.finding, subject: { regions } } };
    };
    const grid = gridOf(
      [
        lines('a', { nib: 'M', paper: 'white' }),
        lines('b', { nib: 'M', paper: 'ivory' }),
        lines('c', { nib: 'M', paper: 'yellow' }),
        { id: 'back', scan: 'page-back', kind: 'reverse', of: 'c' },
      ],
      [
        pair('toneShift', ['a', 'c'], { value: 7 }),
        pair('toneShift.adapted', ['a', 'c'], { value: 3, verdict: 'clear' }),
        pair('hiding', ['a', 'c'], { value: 0.4, verdict: 'translucent', unit: '1' }),
        pair('toneShift', ['b', 'c'], { value: 5 }),
        pair('toneShift.adapted', ['b', 'c'], { value: 2, verdict: 'faint' }),
        found('ghosting', 'back', { value: 2.1, verdict: 'clear', unit: 'ΔL*' }),
        found('bleedThrough', 'back', { value: 0, verdict: 'none', unit: '%' }),
      ],
    );
    const of = (paper: string) => grid.papers.find((row) => row.paper === paper)!.cells[0].samples[0];
    expect(cellWords(of('yellow')).map(({ label, word, quiet }) => [label, word, quiet])).toEqual([
      ['tone shift, eye adapted', 'clear', false],
      ['ink is', 'translucent', false],
      ['ghosting', 'clear', false],
      ['bleed-through', 'none', true],
    ]);
    expect(cellNumbers(of('yellow')).map(({ traced }) => traced.finding.value)).toEqual([7, 3, 0.4, 2.1, 0]);
    expect(cellWords(of('white'))).toEqual([]);
    expect(csvText(tableRows(gridTable(grid)))).toContain('translucent');
  });

  test('the limits of each word are told with their units', () => {
    const words = limitWords(findings.filter(({ finding }) => finding.quantity !== 'inkColour').map((f) => f.finding));
    expect(words).toContain('shading 1, 2.5, 5 ΔE00; feathering 0.03, 0.08, 0.2 mm; sheen 1, 10, 30 %');
  });

  test('the grid is copied as one table: a line a sample, a column a quantity', () => {
    const csv = csvText(
      tableRows(gridTable(gridOf([lines('a', { nib: 'EF', nibWidthMm: 0.4, paper: 'white' })], findings))),
    );
    const [head, first] = csv.split('\n');
    expect(head).toMatch(/^,"Nibs and papers, by nib",Colour,± 2u,word,Shading \(ΔE00\),± 2u,word,Line width \(mm\)/);
    expect(first).toContain('white,EF 0.4 mm L*,40,2,moderate blue');
    expect(first).toContain(',faint,');
  });
});

describe('pictures', () => {
  const scan = { id: 'page', dpi: 300, problem: null, colours: { key: 'k', by: 'calibration' as const, words: '' } };

  test('are asked for at one scale whatever the scan’s resolution, twice as dense for dense screens', () => {
    const url = (dpi: number, density: number) =>
      new URL(thumbnailOf(1, { ...scan, dpi }, lines('a'), 0.08, PICTURE, density) ?? '', 'http://x');
    const [coarse, fine, dense] = [url(300, 1), url(600, 1), url(300, 2)];
    expect(coarse.pathname).toBe('/api/inks/1/scans/page/thumbnail/k');
    const asked = (u: URL) => ['mmPerPixel', 'columns', 'rows', 'x', 'width'].map((name) => u.searchParams.get(name));
    expect(asked(coarse)).toEqual(['0.08', '160', '80', '118', '709']);
    expect(asked(fine)).toEqual(['0.08', '160', '80', '236', '1417']);
    expect(asked(dense)).toEqual(['0.04', '320', '160', '118', '709']);
  });

  test('there is none without a scale, a place or a readable scan', () => {
    expect(thumbnailOf(1, { ...scan, dpi: null }, lines('a'), 0.08, PICTURE, 1)).toBeNull();
    expect(thumbnailOf(1, { ...scan, problem: 'its file is gone' }, lines('a'), 0.08, PICTURE, 1)).toBeNull();
    const { boxMm: _, ...unplaced } = lines('a');
    expect(thumbnailOf(1, scan, unplaced, 0.08, PICTURE, 1)).toBeNull();
  });

  test('fill the window in steps, and never fall below what shows a letter', () => {
    expect(pictureIn(1265, 6)).toEqual(PICTURE);
    expect(pictureIn(400, 6)).toEqual(PICTURE);
    const wide = pictureIn(2500, 6);
    expect(wide.width).toBeGreaterThan(300);
    expect(6 * (wide.width + 26) + 145).toBeLessThanOrEqual(2500);
    expect(pictureIn(2500, 1).width).toBeLessThanOrEqual(768);
  });

  test('the bar has a round length, the scale has steps', () => {
    for (const scale of SCALES) {
      const { mm, px } = scaleBar(scale);
      expect([1, 2, 5, 10, 20]).toContain(mm);
      expect(px).toBeCloseTo(mm / scale, 9);
      expect(px).toBeLessThanOrEqual(90);
    }
    expect([nextScale(0.08, 1), nextScale(0.04, 1), nextScale(0.08, -1), nextScale(7, 1)]).toEqual([
      0.04, 0.04, 0.16, 0.04,
    ]);
    expect([scaleIn('0.16'), scaleIn('3'), scaleIn(undefined)]).toEqual([0.16, 0.08, 0.08]);
  });
});

test('the page’s caution: the worst of what holds for its colours, or none', () => {
  expect(doubtWords([{ flags: ['crossings-left-out'] }])).toBe('');
  expect(doubtWords([{ flags: [] }, { flags: ['poor-calibration'] }])).toMatch(/^The calibration is poor/);
  expect(doubtWords([{ flags: ['poor-calibration'] }, { flags: ['uncalibrated'] }])).toMatch(/colours are rough/);
});
