/** The shelf, its inks, and what the library knows of papers and nibs. */
import { Hono } from 'hono';
import { z } from 'zod';
import { NAME_MOST } from '../../../analysis/report/nameLength.ts';
import { ShelfCards } from '../../answers/shelfCards.ts';
import { workOf } from '../../answers/workOf.ts';
import type { Hello } from '../api.ts';
import { bodyOf, queryOf, requestName, wholeOf, words } from '../door.ts';
import type { Host } from '../host.ts';

const shelfQuery = z.strictObject({ since: z.string().optional() });
const inkName = words.max(NAME_MOST);
const newInk = z.strictObject({ name: inkName, maker: inkName.nullable().default(null), request: requestName });

export function shelfRoutes({ library, measuring, shell, version, sampleProblem }: Host): Hono {
  const cards = new ShelfCards(library, measuring);
  return new Hono()
    .get('/hello', (c) => {
      const hello: Hello = { version, shell, library: library.folder };
      return c.json(hello);
    })
    .get('/shelf', async (c) => {
      const { since } = queryOf(c, shelfQuery);
      const problem = sampleProblem?.() ?? null;
      const shelf = since === undefined ? await cards.shelf() : await cards.changesSince(since);
      return c.json(problem === null ? shelf : { ...shelf, sampleProblem: problem });
    })
    .post('/inks', async (c) => {
      const { name, maker, request = null } = await bodyOf(c, newInk);
      const ink = library.createInk({ name, maker }, { request });
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
