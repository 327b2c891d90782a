/** The card to be printed at home: its pages for the printer, and where its patches lie. */
import { Hono } from 'hono';
import { WETLINE_CARD } from '../../../analysis/calibrate/card/plan.ts';
import type { SheetSize } from '../../card/cardPdf.ts';
import { attachment } from '../attachment.ts';

const PAPERS: Readonly<Record<SheetSize, string>> = { a4: 'Wetline card A4.pdf', letter: 'Wetline card Letter.pdf' };

export function cardRoutes(): Hono {
  const pdf = async (size: SheetSize): Promise<Response> => {
    // What writes PDF is large, and seldom wanted: it is no part of the start.
    const { cardPdf } = await import('../../card/cardPdf.ts');
    return new Response(new Uint8Array(await cardPdf(size)), {
      headers: { 'content-type': 'application/pdf', 'content-disposition': attachment(PAPERS[size]) },
    });
  };
  return new Hono()
    .get('/card/a4.pdf', () => pdf('a4'))
    .get('/card/letter.pdf', () => pdf('letter'))
    .get('/card/layout.json', (c) =>
      c.body(`${JSON.stringify(WETLINE_CARD.layout, null, 2)}\n`, 200, {
        'content-type': 'application/json',
        'content-disposition': attachment('card.json'),
      }),
    );
}
