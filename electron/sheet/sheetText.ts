import type { Sheet } from './sheetSchema.ts';

/**
 * A sheet as its file has it. The sign for a letter that got lost, where a person has pasted one, is written by its number: as it is, it says
 * that the file is in another encoding (jsonText.ts), and what was saved could not be opened again.
 */
export function sheetText(sheet: Sheet): string {
  return `${JSON.stringify(sheet, null, 2)}\n`.replaceAll('\uFFFD', String.raw`\ufffd`);
}
