/** What was measured, for the window and to be taken away. */
import { Hono } from 'hono';
import { z } from 'zod';
import { byMapAlone } from '../../../analysis/measure/byMapAlone.ts';
import { curvesCsv } from '../../findings/curvesCsv.ts';
import { standingCsv } from '../../findings/findingsCsv.ts';
import { sheetOf } from '../../library/sheetOf.ts';
import { sheetText } from '../../sheet/sheetText.ts';
import { filmInJson } from '../../answers/filmOf.ts';
import { findingsInJson, findingsOf } from '../../answers/findingsOf.ts';
import { attachment } from '../attachment.ts';
import { inJson } from '../inJson.ts';
import { queryOf, wholeOf } from '../door.ts';
import type { Host } from '../host.ts';
import { sheetZip } from '../sheetZip.ts';

/** By which way colours are told: as they were measured, or all by the target's map. */
const told = z.object({ by: z.enum(['map']).optional() });

export function findingsRoutes({ library }: Host): Hono {
  const nameOfInk = (ink: number): string => library.document(ink).ink.name;
  return new Hono()
    .get('/inks/:ink/findings', (c) => inJson(findingsInJson(library, wholeOf(c, 'ink'))))
    .get('/inks/:ink/film', (c) => inJson(filmInJson(library, wholeOf(c, 'ink'))))
    .get('/inks/:ink/findings.csv', async (c) => {
      const ink = wholeOf(c, 'ink');
      const { by } = queryOf(c, told);
      const { findings } = findingsOf(library, ink);
      const asTold = by === 'map' ? findings.map((one) => ({ ...one, finding: byMapAlone(one.finding) })) : findings;
      return c.body(standingCsv(asTold), 200, {
        'content-type': 'text/csv; charset=utf-8',
        'content-disposition': attachment(`${nameOfInk(ink)} findings.csv`),
      });
    })
    .get('/inks/:ink/curves.csv', async (c) => {
      const ink = wholeOf(c, 'ink');
      const { findings } = findingsOf(library, ink);
      return c.body(curvesCsv(findings.map(({ finding }) => finding)), 200, {
        'content-type': 'text/csv; charset=utf-8',
        'content-disposition': attachment(`${nameOfInk(ink)} curves.csv`),
      });
    })
    .get('/inks/:ink/sheet.json', (c) => {
      const ink = wholeOf(c, 'ink');
      return c.body(sheetText(sheetOf(library, ink).sheet), 200, {
        'content-type': 'application/json',
        'content-disposition': attachment('sheet.json'),
      });
    })
    .get('/inks/:ink/sheet.zip', async (c) => {
      const ink = wholeOf(c, 'ink');
      const { sheet, files } = sheetOf(library, ink);
      const zip = await sheetZip(sheet, files);
      return c.body(zip.body, 200, {
        'content-type': 'application/zip',
        'content-length': String(zip.bytes),
        'content-disposition': attachment(`${nameOfInk(ink)}.zip`),
      });
    });
}
