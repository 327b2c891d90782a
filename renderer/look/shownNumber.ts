/** What a table's cell is outside the window. */
export type Field = string | number;

/** A number with the digits shown, so that a spreadsheet reckons with it; null: it is none. */
export function shownNumber(shown: string): number | null {
  return /^[−-]?\d+(\.\d+)?$/.test(shown) ? Number(shown.replace('−', '-')) : null;
}
