/**
 * A table as shown, for a spreadsheet: a value and its ± 2u side by side, a colour on three lines. It stands alone there, so that it says
 * what it is of, in which unit, and at the end of each line what to be careful about.
 */
import type { Flag } from '../../../analysis/quantity.ts';
import { FLAG_WORDS, notesOf } from '../../../analysis/report/flagWords.ts';
import { unitMark } from '../../../analysis/report/titles.ts';
import { type Field, shownNumber } from '../../look/shownNumber.ts';
import { figureTexts } from './figureText.ts';
import type { Cell, FindingsTable, Heading, Row } from './table.ts';

export function tableRows(table: FindingsTable): Field[][] {
  const grouped = table.groups.some(({ heading }) => heading !== null);
  const head = [
    ...(grouped ? [''] : []),
    `${table.title}, by ${table.corner}`,
    ...table.columns.flatMap((column, i) => [headingWords({ ...commonUnit(table, i), ...column }), '± 2u', 'word']),
    'notes',
  ];
  const body = table.groups.flatMap(({ heading, rows }) =>
    rows.flatMap((row) =>
      linesOf(row, table).map((line) => [...(grouped ? [heading ? headingWords(heading) : ''] : []), ...line]),
    ),
  );
  return [head, ...body];
}

/** On the page each figure bears its unit; here the head does, where all below have one. */
function commonUnit(table: FindingsTable, column: number): { unit?: string } {
  const [unit, ...others] = [...unitsIn(table, column)];
  return others.length === 0 && unit ? { unit } : {};
}

function unitsIn({ groups }: FindingsTable, column: number): ReadonlySet<string> {
  const cells = groups.flatMap(({ rows }) => rows.map((row) => row.cells[column]));
  return new Set(cells.flatMap((cell) => (cell?.is === 'finding' ? unitMark(cell.traced.finding.unit) : [])));
}

/** As many lines as its tallest figure has parts. */
function linesOf({ heading, cells }: Row, table: FindingsTable): Field[][] {
  const figures = cells.map((cell, i) => fieldsOf(cell, heading.unit === undefined && unitsIn(table, i).size > 1));
  const lines = Math.max(1, ...figures.map(({ length }) => length));
  return Array.from({ length: lines }, (_, i) => {
    const part = lines === 1 ? '' : ` ${['L*', 'a*', 'b*'][i]}`;
    const fields = figures.flatMap((ofCell) => ofCell[i] ?? ['', '', '']);
    return [`${headingWords(heading)}${part}`, ...fields, i === 0 ? notesOfRow(cells, table.columns) : ''];
  });
}

const STALE = 'changed since it was measured';

/** Each with the columns that it concerns, unless it concerns all figures of the row. */
function notesOfRow(cells: readonly Cell[], columns: readonly Heading[]): string {
  const noted = cells.flatMap((cell, i) => {
    if (cell.is !== 'finding') return [];
    const { finding, current } = cell.traced;
    const words = finding.flags.map((flag) => FLAG_WORDS[flag]);
    return [{ column: columns[i].words, words: current ? words : [...words, STALE] }];
  });
  const all = [...new Set(noted.flatMap(({ words }) => words))].map((word) => {
    const of = noted.filter(({ words }) => words.includes(word));
    return of.length === noted.length ? word : `${word} (${of.map(({ column }) => column).join(', ')})`;
  });
  return all.length === 0 ? '' : `${all.join('; ')}.`;
}

/** @param ownUnit others in its column have another, so that neither the head nor its row's names it */
function fieldsOf(cell: Cell, ownUnit: boolean): readonly (readonly [Field, Field, Field])[] {
  if (cell.is === 'empty') return [];
  if (cell.is === 'missing') return [['', '', cell.words]];
  const { finding } = cell.traced;
  const word = [ownUnit ? unitMark(finding.unit) : '', finding.verdict ?? '', cell.remark]
    .filter((one) => one !== '')
    .join('; ');
  const figures = figureTexts(finding);
  if (figures.length === 0) return [['', '', word || notes(finding.flags)]];
  return figures.map(({ whole, fraction, spread }, i) => [
    shownNumber(`${whole}${fraction}`) ?? '',
    shownNumber(spread.slice(2)) ?? '',
    i === 0 ? word : '',
  ]);
}

function notes(flags: Iterable<Flag>): string {
  return notesOf(flags).replace(/^Note: /, '');
}

function headingWords({ words, detail, unit }: Heading): string {
  return `${words}${detail ? ` ${detail}` : ''}${unit ? ` (${unit})` : ''}`;
}
