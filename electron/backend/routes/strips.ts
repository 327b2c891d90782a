/** Strips: one laid straight, those that lie on a scan, whose dyes lie where, and the dyes of the whole shelf. */
import { Hono } from 'hono';
import { shelfDyes } from '../../answers/shelfDyes.ts';
import { dyesOverRegion, straightStrip, stripsOnScan } from '../../answers/strips.ts';
import { nameOf, wholeOf } from '../door.ts';
import type { Host } from '../host.ts';

export function stripRoutes({ library, measuring }: Host): Hono {
  return new Hono()
    .get('/dyes', (c) => c.json(shelfDyes(library)))
    .get('/inks/:ink/scans/:scan/strips', async (c) =>
      c.json(await stripsOnScan(library, measuring, wholeOf(c, 'ink'), nameOf(c, 'scan'), c.req.raw.signal)),
    )
    .get('/inks/:ink/strips/:region/straight', async (c) => {
      const { signal } = c.req.raw;
      const png = await straightStrip(library, measuring, wholeOf(c, 'ink'), nameOf(c, 'region'), signal);
      return new Response(new Uint8Array(png), {
        headers: { 'content-type': 'image/png', 'cache-control': 'private, max-age=3600' },
      });
    })
    .get('/inks/:ink/strips/:region/dyes/:over', async (c) => {
      const ink = wholeOf(c, 'ink');
      const { signal } = c.req.raw;
      return c.json(await dyesOverRegion(library, measuring, ink, nameOf(c, 'region'), nameOf(c, 'over'), signal));
    });
}
