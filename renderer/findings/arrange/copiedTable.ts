/** A table as shown, for a spreadsheet: a value and its ± 2u side by side, a colour on three lines. */
import { stringify } from 'csv-stringify/browser/esm/sync';
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
    table.corner,
    ...table.columns.flatMap((column) => [headingWords(column), '± 2u', 'word']),
  ];
  const body = table.groups.flatMap(({ heading, rows }) =>
    rows.flatMap((row) =>
      linesOf(row).map((line) => [...(grouped ? [heading ? headingWords(heading) : ''] : []), ...line]),
    ),
  );
  return [head, ...body];
}

/** As many lines as its tallest figure has parts. */
function linesOf({ heading, cells }: Row): Field[][] {
  const columns = cells.map(fieldsOf);
  const lines = Math.max(1, ...columns.map(({ length }) => length));
  return Array.from({ length: lines }, (_, i) => {
    const part = lines === 1 ? '' : ` ${['L*', 'a*', 'b*'][i]}`;
    return [`${headingWords(heading)}${part}`, ...columns.flatMap((fields) => fields[i] ?? ['', '', ''])];
  });
}

function fieldsOf(cell: Cell): readonly (readonly [Field, Field, Field])[] {
  if (cell.is === 'empty') return [];
  if (cell.is === 'missing') return [['', '', cell.words]];
  const { finding } = cell.traced;
  const word = finding.verdict ?? '';
  const figures = figureTexts(finding);
  if (figures.length === 0) return [['', '', word || finding.flags.join(' ')]];
  return figures.map(({ whole, fraction, spread }, i) => [
    numberOf(`${whole}${fraction}`),
    numberOf(spread.slice(2)),
    i === 0 ? word : '',
  ]);
}

/** A number with the digits shown, so that a spreadsheet reckons with it; '' for what is not known. */
function numberOf(shown: string): Field {
  const number = Number(shown.replace('−', '-'));
  return shown === '' || Number.isNaN(number) ? '' : number;
}

function headingWords({ words, detail, unit }: Heading): string {
  return `${words}${detail ? ` ${detail}` : ''}${unit ? ` (${unit})` : ''}`;
}
