/**
 * A table as shown, for a spreadsheet: a value and its ± 2u side by side, a colour on three lines. It stands alone there, so that it says
 * what it is of, in which unit, and at the end of each line what to be careful about.
 */
import { stringify } from 'csv-stringify/browser/esm/sync';
import type { Flag } from '../../../analysis/quantity.ts';
import { notesOf } from '../../../analysis/report/flagWords.ts';
import { unitMark } from '../../../analysis/report/titles.ts';
import { figureTexts } from './figureText.ts';
import type { Cell, FindingsTable, Heading, Row } from './table.ts';

/** Commas, and an apostrophe before text that a spreadsheet would run as a formula. */
export function tableCsv(table: FindingsTable): string {
  return stringify(tableRows(table), { escape_formulas: true, record_delimiter: 'unix' });
}

/** Tabs, as spreadsheets take them from the clipboard. */
export function tableTsv(table: FindingsTable): string {
  return stringify(tableRows(table), { delimiter: '\t', escape_formulas: true, record_delimiter: 'unix' });
}

type Field = string | number;

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
      linesOf(row).map((line) => [...(grouped ? [heading ? headingWords(heading) : ''] : []), ...line]),
    ),
  );
  return [head, ...body];
}

/** On the page each figure bears its unit; here the head does, where all below have one. */
function commonUnit(table: FindingsTable, column: number): { unit?: string } {
  const cells = table.groups.flatMap(({ rows }) => rows.map((row) => row.cells[column]));
  const units = new Set(cells.flatMap((cell) => (cell?.is === 'finding' ? unitMark(cell.traced.finding.unit) : [])));
  const [unit] = units;
  return units.size === 1 && unit ? { unit } : {};
}

/** As many lines as its tallest figure has parts. */
function linesOf({ heading, cells }: Row): Field[][] {
  const columns = cells.map(fieldsOf);
  const lines = Math.max(1, ...columns.map(({ length }) => length));
  const flags = cells.flatMap((cell) => (cell.is === 'finding' ? cell.traced.finding.flags : []));
  return Array.from({ length: lines }, (_, i) => {
    const part = lines === 1 ? '' : ` ${['L*', 'a*', 'b*'][i]}`;
    const figures = columns.flatMap((fields) => fields[i] ?? ['', '', '']);
    return [`${headingWords(heading)}${part}`, ...figures, i === 0 ? notes(flags) : ''];
  });
}

function fieldsOf(cell: Cell): readonly (readonly [Field, Field, Field])[] {
  if (cell.is === 'empty') return [];
  if (cell.is === 'missing') return [['', '', cell.words]];
  const { finding } = cell.traced;
  const word = finding.verdict ?? '';
  const figures = figureTexts(finding);
  if (figures.length === 0) return [['', '', word || notes(finding.flags)]];
  return figures.map(({ whole, fraction, spread }, i) => [
    numberOf(`${whole}${fraction}`),
    numberOf(spread.slice(2)),
    i === 0 ? word : '',
  ]);
}

function notes(flags: Iterable<Flag>): string {
  return notesOf(flags).replace(/^Note: /, '');
}

/** A number with the digits shown, so that a spreadsheet reckons with it; '' for what is not known. */
function numberOf(shown: string): Field {
  const number = Number(shown.replace('−', '-'));
  return shown === '' || Number.isNaN(number) ? '' : number;
}

function headingWords({ words, detail, unit }: Heading): string {
  return `${words}${detail ? ` ${detail}` : ''}${unit ? ` (${unit})` : ''}`;
}
