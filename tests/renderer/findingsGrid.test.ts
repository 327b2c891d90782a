import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, test } from 'vitest';
import { arrangeFindings } from '../../renderer/findings/arrange/arrangement.ts';
import type { FindingsTable } from '../../renderer/findings/arrange/table.ts';
import { writingTable } from '../../renderer/findings/arrange/writingGrid.ts';
import { FindingsGrid } from '../../renderer/findings/tables/FindingsGrid.tsx';
import { sampleBench, sampleFindings } from './findingsSample.ts';

const all = arrangeFindings(sampleBench());

function markup(table: FindingsTable, chosenKey: string | null = null, notes = false): string {
  return renderToStaticMarkup(
    createElement(FindingsGrid, { table, titled: true, notes, chosenKey, onChoose: () => undefined }),
  );
}
const count = (html: string, part: RegExp): number => [...html.matchAll(part)].length;

describe('a table of findings', () => {
  test('heads its rows, columns and groups with scope', () => {
    const html = markup(all.strips!);
    expect(count(html, /scope="col"/g)).toBe(4);
    expect(count(html, /scope="rowgroup"/g)).toBe(4);
    expect(count(html, /scope="row"/g)).toBe(3 * 7 + 2);
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

  test('a stale figure says so, one that cannot be told says why', () => {
    const findings = sampleFindings.map((f) => ({ ...f, current: f.key !== 'shading(ef-white)' }));
    const { writing } = arrangeFindings(sampleBench({ findings }));
    expect(count(markup(writingTable(writing, 'shading')), /stale: measure again/g)).toBe(1);
    expect(markup(writingTable(all.writing, 'hue'))).toContain(
      'cannot tell: the colour is too nearly grey to have one',
    );
  });
});
