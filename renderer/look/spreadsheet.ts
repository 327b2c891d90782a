/** Rows for spreadsheets, one line each. */
import { stringify } from 'csv-stringify/browser/esm/sync';
import type { Field } from './shownNumber.ts';

/** Commas, and an apostrophe before text that a spreadsheet would run as a formula. */
export function csvText(rows: readonly (readonly Field[])[]): string {
  return stringify([...rows], { escape_formulas: true, record_delimiter: 'unix' });
}

/** Tabs, as spreadsheets take them from the clipboard. */
export function tabText(rows: readonly (readonly Field[])[]): string {
  return stringify([...rows], { delimiter: '\t', escape_formulas: true, record_delimiter: 'unix' });
}
