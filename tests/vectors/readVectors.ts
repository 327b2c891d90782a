/** Published check tables, read strictly: a short or altered table stops the tests instead of weakening them. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';

export interface VectorRow {
  readonly columns: readonly string[];
  /** The cell as it stands in the file. */
  text(column: string): string;
  /** The cell as a finite number; anything else is an error. */
  number(column: string): number;
  /** Several cells as numbers. */
  numbers<const Columns extends readonly string[]>(...columns: Columns): { [K in keyof Columns]: number };
}

/**
 * Rows of a CSV table in tests/vectors. No cell of these tables holds a comma or a quote.
 * @param expected its number of rows, and the first 12 digits of the SHA-256 of the file with line ends as \n.
 */
export function readVectors(file: string, expected: { readonly rows: number; readonly sha256: string }): VectorRow[] {
  const content = readFileSync(new URL(file, import.meta.url), 'utf8').replaceAll('\r\n', '\n');
  const digest = createHash('sha256').update(content).digest('hex').slice(0, 12);
  if (digest !== expected.sha256) {
    throw new Error(
      `${file}: SHA-256 begins with ${digest}, expected ${expected.sha256}. Copy the published table again, whole.`,
    );
  }
  const [header, ...lines] = content.trimEnd().split('\n');
  if (lines.length !== expected.rows) throw new Error(`${file}: ${lines.length} rows, expected ${expected.rows}.`);
  const columns = header.split(',');
  return lines.map((line, i) => {
    const cells = line.split(',');
    if (cells.length !== columns.length) {
      throw new Error(`${file}, row ${i + 1}: ${cells.length} cells, expected ${columns.length}.`);
    }
    const text = (column: string): string => {
      const at = columns.indexOf(column);
      if (at < 0) throw new Error(`${file}: no column "${column}"; it has ${columns.join(', ')}.`);
      return cells[at];
    };
    const number = (column: string): number => {
      const value = Number(text(column));
      if (text(column).trim() === '' || !Number.isFinite(value)) {
        throw new Error(`${file}, row ${i + 1}, ${column}: "${text(column)}" is no number.`);
      }
      return value;
    };
    return {
      columns,
      text,
      number,
      // oxlint-disable-next-line typescript/no-unsafe-type-assertion -- map keeps the length, which the type cannot say
      numbers: (...names) => names.map(number) as { [K in keyof typeof names]: number },
    };
  });
}
