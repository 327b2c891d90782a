import { describe, expect, test } from 'vitest';
import type { Flag } from '../../analysis/quantity.ts';
import { FLAG_WORDS } from '../../analysis/report/flagWords.ts';
import { arrangeFindings } from '../../renderer/findings/arrange/arrangement.ts';
import { isLab } from '../../renderer/findings/arrange/bench.ts';
import { tableRows } from '../../renderer/findings/arrange/copiedTable.ts';
import { csvText, tabText } from '../../renderer/look/spreadsheet.ts';
import { alignedFigure, copiedFigure, figureTexts, widthsOf } from '../../renderer/findings/arrange/figureText.ts';
import { findingCell, findingsIn, type FindingsTable, type Row } from '../../renderer/findings/arrange/table.ts';
import { writingTable } from '../../renderer/findings/arrange/writingGrid.ts';
import { sampleBench, sampleFindings } from './findingsSample.ts';

const of = (key: string) => sampleFindings.find((t) => t.key === key)!.finding;
const all = arrangeFindings(sampleBench());
const tables: readonly FindingsTable[] = [
  writingTable(all.writing, 'shading'),
  writingTable(all.writing, 'colour'),
  ...all.nibs,
  ...all.tones,
  ...[all.papers, all.strips].flatMap((table) => table ?? []),
];

describe('figures', () => {
  test.each(sampleFindings.map(({ key, finding }) => [key, finding] as const))(
    '%s: decimals of the value and of its ± agree, and show the ± to two digits',
    (_, finding) => {
      const us = (isLab(finding.u) ? finding.u : [finding.u]).map((u) => 2 * (u ?? 0));
      figureTexts(finding).forEach(({ fraction, spread }, i) => {
        const decimals = spread.split('.')[1]?.length ?? 0;
        expect(fraction.length === 0 ? 0 : fraction.length - 1).toBe(decimals);
        const shown = Number(spread.slice(2));
        // Two digits are kept: what is shown lies within 5 % of what is known.
        expect(Math.abs(shown - us[i])).toBeLessThanOrEqual(0.05 * us[i] + 5e-5);
      });
      expect(figureTexts(finding)).toHaveLength(finding.value === null ? 0 : isLab(finding.value) ? 3 : 1);
    },
  );

  test('a copied figure has its ± and its unit', () => {
    expect(copiedFigure(of('shading(ef-white)'))).toBe('6.3 ± 1.2 ΔE00');
    expect(copiedFigure(of('toneShift.dC(m-white,m-yellow)'))).toBe('−14.3 ± 3.2');
    expect(copiedFigure(of('inkColour(ef-white)'))).toBe('L* 44.9 ± 1.5, a* 10.1 ± 6.2, b* −25.3 ± 7.7');
    expect(copiedFigure({ value: null, u: null, unit: '1' })).toBe('cannot be told');
  });

  test('a column keeps room for its widest figure on each side of the point', () => {
    const figures = ['toneShift.dC(m-white,m-yellow)', 'shading(ef-white)', 'bandPosition(fresh)#2'].map(of);
    expect(widthsOf(figures.flatMap(figureTexts))).toEqual({ whole: 3, fraction: 5, spread: 8 });
  });

  test('figures of a column stand point under point, in spaces of a digit’s and a point’s width', () => {
    const [whole, spread] = ['30', '± 10'];
    const texts = [...figureTexts(of('toneShift.dC(m-white,m-yellow)')), { part: '', whole, fraction: '', spread }];
    expect(texts.map((text) => alignedFigure(text, widthsOf(texts)))).toEqual([
      { before: '', digits: '−14.3', after: '', spread: ' ± 3.2' },
      { before: '\u2007', digits: '30', after: '\u2008\u2007', spread: ' ± 10\u2007' },
    ]);
    expect(alignedFigure(texts[1], widthsOf([texts[1]]))).toEqual({
      before: '',
      digits: '30',
      after: '',
      spread: ' ± 10',
    });
  });
});

describe('a copied table', () => {
  test.each(tables.map((table) => [table.title, table] as const))(
    '%s: read back, it holds every figure shown',
    (_, table) => {
      const rows = parsed(csvText(tableRows(table)), ',');
      expect(rows).toEqual(tableRows(table).map((row) => row.map(String)));
      expect(parsed(tabText(tableRows(table)), '\t')).toEqual(rows);
      const numbers = rows.slice(1).flatMap((row) => row.map(Number).filter((n) => !Number.isNaN(n)));
      const shown = findingsIn(table).flatMap(({ finding }) =>
        figureTexts(finding).map(({ whole, fraction }) => Number(`${whole}${fraction}`.replace('−', '-'))),
      );
      expect(shown.length).toBeGreaterThan(0);
      for (const figure of shown) expect(numbers).toContain(figure);
      expect(new Set(rows.map(({ length }) => length)).size).toBe(1);
    },
  );

  test('a colour takes a line for each of its parts; other figures stay on the first', () => {
    const [head, L, a, b] = parsed(csvText(tableRows(all.papers!)), ',');
    expect(head).toEqual(['Bare paper, by paper', 'Colour', '± 2u', 'word', 'Texture (ΔL*)', '± 2u', 'word', 'notes']);
    expect(L).toEqual(['bright white, smooth L*', '94.51', '0.41', 'white', '0.0602', '0.0008', '', '']);
    expect([a[0], b[0], b[4]]).toEqual(['bright white, smooth a*', 'bright white, smooth b*', '']);
  });

  test('a paper called like a formula stays text', () => {
    const table = { ...all.papers!, columns: [{ key: 'x', words: '=1+1' }], groups: [] };
    expect(csvText(tableRows(table))).toBe('"Bare paper, by paper",\'=1+1,± 2u,word,notes\n');
  });

  test('away from the page it says what it is of, in which unit, and what to be careful about', () => {
    const [head, first] = tableRows(writingTable(all.writing, 'shading'));
    expect(head[0]).toBe('Shading (of a swab: variation), by nib');
    expect(head[1]).toMatch(/ \(ΔE00\)$/);
    expect(head.at(-1)).toBe('notes');
    expect(first.at(-1)).toMatch(/^crossings left out.*\.$/);
  });

  test('what is stale says so, and a note of one figure of a row is that one’s', () => {
    const [finding] = findingsIn(all.papers!);
    const cell = (key: string, flags: readonly Flag[], current: boolean) =>
      findingCell({
        ...finding,
        current,
        finding: { ...finding.finding, value: 2, u: 0.1, unit: 'mm', flags, verdict: key },
      });
    const columns = ['Width', 'Halo'].map((words) => ({ key: words, words }));
    const row = {
      heading: { key: 'ef', words: 'EF' },
      cells: [cell('wide', ['clipped'], true), cell('none', [], false)],
    };
    const table = { ...all.papers!, columns, groups: [{ heading: null, rows: [row] }] };
    const [, line] = tableRows(table);
    expect(line.slice(0, -1)).toEqual(['EF', 2, 0.2, 'wide', 2, 0.2, 'none']);
    expect(line.at(-1)).toBe(`${FLAG_WORDS.clipped} (Width); changed since it was measured (Halo).`);
  });

  test('in a column of two units each figure says its own; a note of a whole row names no column, and a colour has it once', () => {
    const [colour] = findingsIn(all.papers!);
    const flagged = (change: object) =>
      findingCell({ ...colour, finding: { ...colour.finding, flags: ['clipped'], ...change } });
    const cell = (unit: string) => flagged({ value: 2, u: 0.1, unit, verdict: 'wide' });
    const columns = ['Width', 'Halo'].map((words) => ({ key: words, words }));
    const row = (words: string, cells: Row['cells']) => ({ heading: { key: words, words }, cells });
    const rows = [row('EF', [cell('mm'), cell('mm')]), row('M', [cell('%'), cell('mm')])];
    const of = (others: readonly Row[]) =>
      tableRows({ ...all.papers!, columns, groups: [{ heading: null, rows: others }] });
    const [head, ef, m] = of(rows);
    expect(head.slice(1)).toEqual(['Width', '± 2u', 'word', 'Halo (mm)', '± 2u', 'word', 'notes']);
    expect([ef[3], ef[6], m[3], m[6]]).toEqual(['mm; wide', 'wide', '%; wide', 'wide']);
    expect(ef.at(-1)).toBe(`${FLAG_WORDS.clipped}.`);
    const lines = of([row('EF', [flagged({}), flagged({})])]).slice(1);
    expect(lines.map((line) => line.at(-1))).toEqual([`${FLAG_WORDS.clipped}.`, '', '']);
  });
});

/** Fields of a delimited text; quotes as RFC 4180 has them. */
function parsed(text: string, delimiter: string): string[][] {
  const field = new RegExp(`(?:"((?:[^"]|"")*)"|([^"\\n${delimiter}]*))(${delimiter}|\\n)`, 'g');
  const rows: string[][] = [[]];
  for (const [, quoted, plain, end] of text.matchAll(field)) {
    rows.at(-1)!.push(quoted === undefined ? plain : quoted.replaceAll('""', '"'));
    if (end === '\n') rows.push([]);
  }
  return rows.slice(0, -1);
}
