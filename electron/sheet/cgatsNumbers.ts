/** Numbers of a table as its file writes them: with points, or with commas and nothing else. */
import { type CgatsRow, type CgatsTable, type Refuse, shown } from './cgats.ts';

/** A cell as a number. @throws by `refuse` when it is none */
export type ReadNumber = (row: CgatsRow, column: number) => number;

/** Columns that hold words, where a comma or a point decides nothing. */
const WORDS = /^(?:SAMPLE_|STRING)|(?:_ID|_NAME)$/;

/** Decimal commas are understood when the table uses nothing else: with points beside them, 1,234 could be either. */
export function numbersOf(table: CgatsTable, refuse: Refuse): ReadNumber {
  const columns = table.columns.flatMap((name, column) => (WORDS.test(name) ? [] : [column]));
  const written = (pattern: RegExp) => table.rows.find(({ values }) => columns.some((c) => pattern.test(values[c])));
  const comma = written(/^[+−-]?\d*,\d+(?:[eE][+-]?\d+)?$/);
  const point = written(/^[+−-]?\d*\.\d+(?:[eE][+-]?\d+)?$/);
  if (comma && point) {
    refuse(
      'reference-number',
      `line ${comma.line} writes decimal commas, line ${point.line} decimal points; expected points throughout. Replace the commas.`,
    );
  }
  return (row, column) => {
    const text = row.values[column];
    const plain = (comma ? text.replace(',', '.') : text).replace('−', '-');
    const value = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/.test(plain) ? Number(plain) : Number.NaN;
    if (Number.isFinite(value)) return value;
    return refuse(
      'reference-number',
      `line ${row.line}: ${shown(table.columns[column])} is "${shown(text)}"; expected a number.`,
    );
  };
}
