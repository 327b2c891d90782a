/** The shelf, its inks, and what the library knows of papers and nibs. */
import { Hono } from 'hono';
import { z } from 'zod';
import { shelfOf } from '../../answers/shelfOf.ts';
import { workOf } from '../../answers/workOf.ts';
import type { Hello } from '../api.ts';
import { bodyOf, wholeOf, words } from '../door.ts';
import type { Host } from '../host.ts';

const newInk = z.strictObject({ name: words, maker: words.nullable().default(null) });

export function shelfRoutes({ library, measuring, shell, version }: Host): Hono {
  return new Hono()
    .get('/hello', (c) => {
      const hello: Hello = { version, shell, library: library.folder };
      return c.json(hello);
    })
    .get('/shelf', async (c) => c.json(shelfOf(library, measuring)))
    .post('/inks', async (c) => {
      const ink = library.createInk(await bodyOf(c, newInk));
      return c.json(workOf(library, measuring, ink), 201);
    })
    .get('/inks/:ink', async (c) => c.json(workOf(library, measuring, wholeOf(c, 'ink'))))
    .delete('/inks/:ink', (c) => {
      library.removeInk(wholeOf(c, 'ink'));
      return c.body(null, 204);
    })
    .post('/inks/:ink/restore', async (c) => {
      const ink = wholeOf(c, 'ink');
      library.restoreInk(ink);
      return c.json(workOf(library, measuring, ink));
    });
}
