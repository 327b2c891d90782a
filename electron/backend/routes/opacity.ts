/** What lies under an ink, and what it will look like on other grounds. */
import { Hono } from 'hono';
import { z } from 'zod';
import { ElsewherePictures } from '../../answers/elsewhere.ts';
import { opacityInJson, predictionOf } from '../../answers/opacityOf.ts';
import { viewScan } from '../../answers/viewScan.ts';
import { nameOf, number, positive, queryOf, wholeOf, words } from '../door.ts';
import type { Host } from '../host.ts';
import { inJson } from '../inJson.ts';
import type { Prediction } from '../opacityAnswer.ts';
import { Refusal } from '../refusal.ts';

const lightness = number.pipe(z.number().min(0).max(100));
const opponent = number.pipe(z.number().min(-128).max(128));
const onPaper = z.strictObject({ pen: words, paper: words, from: words.optional() });
const onColour = z.strictObject({ pen: words, L: lightness, a: opponent, b: opponent, from: words.optional() });
const asked = z.union([onPaper, onColour]);
/** A picture beside another, twice as dense as most screens. */
const MOST_PIXELS = 2_000_000;
const piece = {
  x: number,
  y: number,
  width: positive,
  height: positive,
  mmPerPixel: positive.pipe(z.number().min(0.002).max(2)),
  columns: positive.pipe(z.int().max(4096)),
  rows: positive.pipe(z.int().max(4096)),
  /** Tells the window's addresses apart from one measurement to the next. */
  v: z.string().optional(),
};
const askedPicture = z.union([onPaper.extend(piece), onColour.extend(piece)]);

type Asked = z.infer<typeof asked>;

export function opacityRoutes({ library, measuring, view }: Host): Hono {
  const pictures = new ElsewherePictures();
  const foretold = async (ink: number, query: Asked): Promise<Prediction> => {
    const ground = 'paper' in query ? { paper: query.paper } : { lab: [query.L, query.a, query.b] as const };
    const told = await predictionOf(library, ink, query.pen, ground, query.from ?? null);
    if (typeof told === 'string') throw new Refusal(404, 'not-foretold', told);
    return told;
  };
  return (
    new Hono()
      .get('/inks/:ink/opacity', async (c) => inJson(await opacityInJson(library, wholeOf(c, 'ink'))))
      .get('/inks/:ink/prediction', async (c) => c.json(await foretold(wholeOf(c, 'ink'), queryOf(c, asked))))
      // As …/thumbnail, of writing as it would look on the ground that the rest of the query names.
      .get('/inks/:ink/scans/:scan/elsewhere/:key', async (c) => {
        const [ink, id] = [wholeOf(c, 'ink'), nameOf(c, 'scan')];
        const query = queryOf(c, askedPicture);
        const { x, y, width, height, mmPerPixel, columns, rows } = query;
        if (columns * rows > MOST_PIXELS) {
          const why = `${columns} × ${rows} pixels asked for; expected at most ${MOST_PIXELS} in all. Ask for fewer.`;
          throw new Refusal(400, 'too-many-pixels', why);
        }
        const scan = await viewScan(library, measuring, ink, id, nameOf(c, 'key'), c.req.raw.signal);
        const { rendering } = await foretold(ink, query);
        if (scan.dpi === null || rendering === null) {
          const why =
            scan.dpi === null ? `Scan “${id}” has no resolution.` : `No writing of this pen can be shown there.`;
          throw new Refusal(409, 'nothing-to-show', `${why} Measure the ink, and say the scan’s dpi.`);
        }
        const size = { mmPerPixel, columns, rows };
        const bytes = await pictures.picture(view, scan, scan.dpi, [x, y, width, height], size, rendering);
        // The same address gives another picture once the ink was measured anew.
        return new Response(bytes, {
          headers: { 'content-type': 'image/png', 'content-length': String(bytes.length), 'cache-control': 'no-store' },
        });
      })
  );
}
