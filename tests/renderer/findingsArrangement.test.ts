import { describe, expect, test } from 'vitest';
import type { TracedFinding } from '../../electron/backend/api.ts';
import { arrangeFindings, placedFindings } from '../../renderer/findings/arrange/arrangement.ts';
import { findingsIn, rowsOf } from '../../renderer/findings/arrange/table.ts';
import { WRITING_FIGURES, writingTable } from '../../renderer/findings/arrange/writingGrid.ts';
import { sampleBench, sampleFindings } from './findingsSample.ts';

const keysOf = (findings: readonly { key: string }[]): string[] => findings.map(({ key }) => key).toSorted();

describe('every finding has exactly one place', () => {
  test('of the sample ink, and none is left over', () => {
    const all = arrangeFindings(sampleBench());
    expect(sampleFindings.length).toBeGreaterThan(150);
    expect(keysOf(placedFindings(all))).toEqual(keysOf(sampleFindings));
    expect(all.others).toBeNull();
  });

  test('also when regions behind findings are gone: those stand under others', () => {
    const all = arrangeFindings(sampleBench({ without: ['m-white', 'fresh'] }));
    expect(keysOf(placedFindings(all))).toEqual(keysOf(sampleFindings));
    const others = all.others === null ? [] : findingsIn(all.others);
    expect(others.every(({ finding: { subject } }) => /m-white|fresh/.test(subject.regions.join()))).toBe(true);
    expect(others.length).toBeGreaterThan(20);
  });

  test('what the writing grid holds, its figures show one at a time', () => {
    const { writing } = arrangeFindings(sampleBench());
    const held = writing.rows.flatMap(({ samples }) => samples.flatMap((s) => s?.findings ?? []));
    const shown = WRITING_FIGURES.flatMap(({ key }) => findingsIn(writingTable(writing, key)));
    expect(keysOf(shown)).toEqual(keysOf(held));
  });
});

describe('writing samples stand nib by paper', () => {
  const { writing } = arrangeFindings(sampleBench());

  test('nibs in the sheet’s order with their width, swabs by what their names share', () => {
    expect(writing.papers).toEqual(['bright white, smooth', 'yellow, dyed']);
    expect(writing.rows.map(({ words, detail }) => [words, detail])).toEqual([
      ['EF', '0.4 mm'],
      ['M', '0.65 mm'],
      ['B', '1.1 mm'],
      ['swab-even', ''],
      ['swab-graded', ''],
    ]);
    expect(writing.rows[1].samples.map((s) => s?.region)).toEqual(['m-white', 'm-yellow']);
  });

  test('a cell holds the figure, the colour and its name', () => {
    const [first] = rowsOf(writingTable(writing, 'shading'));
    expect(first.cells[0]).toMatchObject({
      is: 'finding',
      traced: { key: 'shading(ef-white)' },
      swatch: [44.86, 10.135, -25.3121],
      name: 'moderate violet or moderate purplish blue',
    });
  });

  test('a second sample of a nib on one paper opens a row of its own', () => {
    const bench = sampleBench();
    const again = bench.regions.flatMap((r) =>
      r.region.id === 'm-white' ? [r, { ...r, region: { ...r.region, id: 'm-white-2' } }] : [r],
    );
    const { rows } = arrangeFindings({ ...bench, regions: again }).writing;
    expect(rows.map(({ words }) => words)).toEqual(['EF', 'M', 'M (2)', 'B', 'swab-even', 'swab-graded']);
    expect(rows[2].samples.map((s) => s?.region ?? null)).toEqual(['m-white-2', null]);
  });

  test('what a figure is not told of is named under the table, not left blank in it', () => {
    const ofLines = writingTable(writing, 'dHue');
    expect(rowsOf(ofLines).map(({ heading }) => heading.words)).toEqual(['EF', 'M', 'B']);
    expect(ofLines.remark).toBe('Not told of swab-even, swab-graded');
    expect(writingTable(writing, 'shading').remark).toBeUndefined();
    // Where it is told of none, and where nothing is measured yet, all of them stand.
    const unmeasured = arrangeFindings(sampleBench({ findings: [] })).writing;
    for (const none of [writingTable(writing, 'spread'), writingTable(unmeasured, 'dHue')]) {
      expect([rowsOf(none).length, none.remark]).toEqual([5, undefined]);
    }
  });

  test('more papers than nibs run down instead of across', () => {
    const bench = sampleBench();
    const many = Array.from({ length: 6 }, (_, i) => ({
      ...bench.regions[1],
      region: { ...bench.regions[1].region, id: `ef-${i}` },
      paper: `paper ${i}`,
    }));
    const table = writingTable(arrangeFindings({ regions: many, findings: [] }).writing, 'shading');
    expect([table.corner, rowsOf(table).length, table.columns.length]).toEqual(['paper', 6, 1]);
  });
});

describe('pairs', () => {
  test('nibs: a matrix a paper, above its diagonal', () => {
    const { nibs } = arrangeFindings(sampleBench());
    expect(nibs.map(({ title }) => title)).toEqual(['bright white, smooth', 'yellow, dyed']);
    const [white] = nibs;
    expect(white.columns.map(({ words }) => words)).toEqual(['M', 'B']);
    expect(rowsOf(white).map(({ heading, cells }) => [heading.words, ...cells.map(({ is }) => is)])).toEqual([
      ['EF', 'finding', 'finding'],
      ['M', 'empty', 'finding'],
    ]);
  });

  test('papers: a table a pair, a row for each nib and swab, the parts across', () => {
    const { tones } = arrangeFindings(sampleBench());
    expect(tones.map(({ title }) => title)).toEqual(['bright white, smooth → yellow, dyed']);
    expect(rowsOf(tones[0]).map(({ heading }) => heading.words)).toEqual(['EF', 'M', 'B', 'swab-even', 'swab-graded']);
    expect(tones[0].columns.map(({ unit }) => unit)).toEqual(['ΔE00', 'ΔE00', 'ΔL*', undefined, '°', undefined]);
  });
});

describe('strips stand side by side', () => {
  const { strips } = arrangeFindings(sampleBench());
  const groups = strips?.groups ?? [];

  test('fresh, dried, change; a group a band and one for the whole run', () => {
    expect(strips?.columns.map(({ words }) => words)).toEqual(['fresh', 'dried', 'change']);
    expect(groups.map(({ heading }) => heading?.words)).toEqual(['Band 1', 'Band 2', 'Band 3', 'The whole run']);
    const [position] = groups[2].rows;
    expect(position.cells.map((cell) => cell.is === 'finding' && cell.traced.key)).toEqual([
      'bandPosition(fresh)#3',
      'bandPosition(dried)#3',
      'runShift(fresh,dried)#3',
    ]);
  });

  test('a change whose partner has another number says so', () => {
    const renumbered = sampleFindings.map((t) => {
      const { regions, band } = t.finding.subject;
      if (regions.join() !== 'dried' || band === undefined) return t;
      return { ...t, finding: { ...t.finding, subject: { regions, band: band + 1 } } };
    });
    const table = arrangeFindings(sampleBench({ findings: renumbered })).strips;
    const remarks = (table?.groups ?? []).map(({ rows }) =>
      rows[0].cells.map((c) => (c.is === 'finding' ? c.remark : '')),
    );
    expect(remarks[0]).toEqual(['', '', 'to band 2']);
    const plain = groups.map(({ rows }) => rows[0].cells.map((c) => (c.is === 'finding' ? c.remark : '')));
    expect(plain.flat().every((remark) => remark === '')).toBe(true);
  });
});

describe('what is not there says why', () => {
  test('never measured: every sample, paper and strip says what to do, once', () => {
    const all = arrangeFindings(sampleBench({ findings: [], measured: 'never' }));
    const tables = [writingTable(all.writing, 'shading'), all.papers, all.strips];
    const words = tables.flatMap((table) =>
      (table === null ? [] : rowsOf(table)).flatMap(({ cells }) =>
        cells.flatMap((c) => (c.is === 'missing' ? [c] : [])),
      ),
    );
    expect(words).toHaveLength(14);
    expect(new Set(words.map((c) => c.words))).toEqual(new Set(['not measured yet: press Measure']));
  });

  test('a region with a problem gives its line, not “not measured yet”', () => {
    const bench = sampleBench({ findings: [] });
    const regions = bench.regions.map((r) => (r.region.id === 'b-white' ? { ...r, missing: 'its scan is gone' } : r));
    const { writing } = arrangeFindings({ ...bench, regions });
    const cells = rowsOf(writingTable(writing, 'shading')).map((row) => row.cells[0]);
    expect(cells[2]).toEqual({ is: 'missing', region: 'b-white', words: 'its scan is gone' });
    expect(cells[0].is).toBe('empty');
  });
});

test('one line through the fronts of several strips stands in the strips’ table, beside their own speeds', () => {
  const speed = (region: string): TracedFinding['finding'] => ({
    quantity: 'frontSpeed',
    subject: { regions: [region] },
    value: 2.1,
    unit: 'mm/√s',
    u: 0.01,
    flags: [],
    method: 'frontSpeed/1',
  });
  const strips = ['fresh', 'second', 'dried'];
  const line = { ...speed('fresh'), quantity: 'frontSpeed.line' as const, subject: { regions: strips } };
  const findings = [...sampleFindings, ...[...strips.map(speed), line].map(traced)];
  const bench = sampleBench({ findings });
  const regions = bench.regions.flatMap((r) =>
    r.region.id === 'fresh' ? [r, { ...r, region: { ...r.region, id: 'second' } }] : [r],
  );
  const all = arrangeFindings({ ...bench, regions });
  expect(all.others).toBeNull();
  const columns = all.strips?.columns.map(({ words, detail }) => [words, detail]) ?? [];
  expect(columns.at(-1)).toEqual(['line', 'through 3 fronts']);
  const row = all.strips && rowsOf(all.strips).find(({ heading }) => heading.key.startsWith('frontSpeed'));
  expect(row?.cells.map((cell) => cell.is === 'finding' && cell.traced.finding.quantity)).toEqual([
    'frontSpeed',
    'frontSpeed',
    'frontSpeed',
    false,
    'frontSpeed.line',
  ]);
});

function traced(finding: TracedFinding['finding']): TracedFinding {
  const { quantity, subject } = finding;
  return { ...sampleFindings[0], key: `${quantity}(${subject.regions.join()})`, finding };
}
