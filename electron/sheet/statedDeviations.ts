/** How sure a reference is of its own values: STDEV_L, STDEV_A, STDEV_B of ISO 28178, as taught cards and batches carry them. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { CgatsTable, Refuse } from './cgats.ts';
import type { ReadNumber } from './cgatsNumbers.ts';

const SPELLINGS = [
  ['STDEV_L', 'STDEV_A', 'STDEV_B'],
  ['LAB_STDEV_L', 'LAB_STDEV_A', 'LAB_STDEV_B'],
  ['STDEV_LAB_L', 'STDEV_LAB_A', 'STDEV_LAB_B'],
];

/** Row by row, per component; null: the table states none. */
export function deviations(table: CgatsTable, read: ReadNumber, refuse: Refuse): LabValue[] | null {
  const names = SPELLINGS.find((spelling) => spelling.every((name) => table.columns.includes(name)));
  if (!names) return null;
  const columns = names.map((name) => table.columns.indexOf(name));
  return table.rows.map((row): LabValue => {
    const [L, a, b] = columns.map((column) => {
      const value = read(row, column);
      if (value >= 0) return value;
      return refuse(
        'reference-number',
        `line ${row.line}: ${table.columns[column]} is ${value}; a standard deviation is 0 or more. Correct it.`,
      );
    });
    return [L, a, b];
  });
}
