import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, test } from 'vitest';
import { arrangeFindings } from '../../renderer/findings/arrange/arrangement.ts';
import type { Flag, Quantity } from '../../analysis/quantity.ts';
import { ownNotes, sharedLines, type SharedNotes, sharedNotes } from '../../renderer/findings/arrange/sharedNotes.ts';
import type { FindingsTable } from '../../renderer/findings/arrange/table.ts';
import { writingTable } from '../../renderer/findings/arrange/writingGrid.ts';
import { FindingsGrid } from '../../renderer/findings/tables/FindingsGrid.tsx';
import { sampleBench, sampleFindings } from './findingsSample.ts';

const all = arrangeFindings(sampleBench());

function markup(
  table: FindingsTable,
  chosenKey: string | null = null,
  notes = false,
  shared = sharedNotes([]),
): string {
  return renderToStaticMarkup(
    createElement(FindingsGrid, { table, titled: true, notes, shared, chosenKey, onChoose: () => undefined }),
  );
}
const count = (html: string, part: RegExp): number => [...html.matchAll(part)].length;

describe('a table of findings', () => {
  test('heads its rows, columns and groups with scope', () => {
    const html = markup(all.strips!);
    expect(count(html, /scope="col"/g)).toBe(4);
    expect(count(html, /scope="rowgroup"/g)).toBe(4);
    // Of the last band there is no resolution to a next one.
    expect(count(html, /scope="row"/g)).toBe(2 * 7 + 6 + 2);
    expect(html).toContain('<caption');
  });

  test('has one cell in the tab order: the chosen one, else the first', () => {
    const table = writingTable(all.writing, 'shading');
    for (const [key, stop] of [
      [null, 'shading(ef-white)'],
      ['shading(b-yellow)', 'shading(b-yellow)'],
    ] as const) {
      const html = markup(table, key);
      expect(count(html, /tabindex="0"/g)).toBe(1);
      expect(html).toMatch(new RegExp(`data-finding="${stop.replaceAll(/[()]/g, '\\$&')}" tabindex="0"`));
      expect(count(html, /aria-pressed="true"/g)).toBe(key === null ? 0 : 1);
    }
  });

  test('says figure, ±, word, name and unit of each sample', () => {
    const html = markup(writingTable(all.writing, 'shading'));
    for (const part of ['6', '.3', '± 1.3', 'ΔE00', 'strong', 'moderate violet or moderate purplish blue']) {
      expect(html).toContain(part);
    }
  });

  test('flags are words on demand; only those that ask for care mark the figure', () => {
    const table = writingTable(all.writing, 'shading');
    expect(markup(table)).not.toContain('crossings left out');
    expect(markup(table, null, true)).toContain('narrow lines, corrected for the scanner’s blur; crossings left out');
    expect(count(markup(table), /with a note/g)).toBe(1);
  });

  test('what many figures bear is said under them: of all without a mark, of some by a letter', () => {
    const bearing = (...lists: Flag[][]): Quantity[] => lists.map((flags) => ({ ...sampleFindings[0].finding, flags }));
    const shared = sharedNotes(
      bearing(
        ['lower-bound', 'crossings-left-out'],
        ['lower-bound', 'few-pixels'],
        ['lower-bound', 'crossings-left-out'],
        ['crossings-left-out', 'lower-bound'],
      ),
    );
    expect(sharedLines(shared, false)).toEqual([
      'All figures: at least so much: a flatbed hides sheen, close hairs hide one another',
    ]);
    expect(sharedLines(shared, true).slice(1)).toEqual(['a: crossings left out']);
    expect(ownNotes(['lower-bound', 'crossings-left-out', 'clipped'], shared)).toMatchObject({ letters: 'a' });
    expect(ownNotes(['lower-bound', 'few-pixels'], shared).words).not.toMatch(/flatbed/);
    // Twice is not often: it stays with its figures.
    const twice = sharedNotes(bearing(['few-pixels'], ['few-pixels']));
    expect(sharedLines(twice, true)).toEqual([]);
    expect(ownNotes(['few-pixels'], twice).words).not.toBe('');
  });

  test('a figure with nothing but what all bear has no mark, and its letter when notes are shown', () => {
    const table = writingTable(all.writing, 'shading');
    const shared: SharedNotes = { all: ['blur-corrected'], some: new Map([['crossings-left-out', 'a']]) };
    expect(count(markup(table, null, false, shared), /with a note/g)).toBe(0);
    const html = markup(table, null, true, shared);
    expect(html).toContain('notes </span>a</span></span>');
    expect(html).not.toMatch(/crossings left out|corrected for the scanner/);
  });

  test('a stale figure says so, one that cannot be told says why', () => {
    const findings = sampleFindings.map((f) => ({ ...f, current: f.key !== 'shading(ef-white)' }));
    const { writing } = arrangeFindings(sampleBench({ findings }));
    expect(count(markup(writingTable(writing, 'shading')), /stale: measure again/g)).toBe(1);
    expect(markup(writingTable(all.writing, 'hue'))).toContain(
      'cannot tell: the colour is too nearly grey to have one',
    );
  });
});
