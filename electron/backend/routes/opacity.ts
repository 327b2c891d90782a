/** What lies under an ink, and what it will look like on other grounds. */
import { Hono } from 'hono';
import { z } from 'zod';
import { opacityOf, predictionOf } from '../../answers/opacityOf.ts';
import { number, queryOf, wholeOf, words } from '../door.ts';
import type { Host } from '../host.ts';
import { Refusal } from '../refusal.ts';

const lightness = number.pipe(z.number().min(0).max(100));
const opponent = number.pipe(z.number().min(-128).max(128));
const asked = z.union([
  z.strictObject({ pen: words, paper: words, from: words.optional() }),
  z.strictObject({ pen: words, L: lightness, a: opponent, b: opponent, from: words.optional() }),
]);

export function opacityRoutes({ library }: Host): Hono {
  return new Hono()
    .get('/inks/:ink/opacity', async (c) => c.json(await opacityOf(library, wholeOf(c, 'ink'))))
    .get('/inks/:ink/prediction', async (c) => {
      const query = queryOf(c, asked);
      const ground = 'paper' in query ? { paper: query.paper } : { lab: [query.L, query.a, query.b] as const };
      const told = await predictionOf(library, wholeOf(c, 'ink'), query.pen, ground, query.from ?? null);
      if (typeof told === 'string') throw new Refusal(404, 'not-foretold', told);
      return c.json(told);
    });
}
