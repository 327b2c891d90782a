/** The card as a vector PDF for the printer, one sheet of A4 or US Letter. */

export type SheetSize = 'a4' | 'letter';

/** The same bytes every time: nothing of the day or the machine goes into the file. */
export function cardPdf(_size: SheetSize): Promise<Uint8Array> {
  return Promise.reject(new Error('not drawn yet'));
}
