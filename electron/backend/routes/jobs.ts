/** Measuring: started, watched, cancelled. */
import { Hono } from 'hono';
import type { Job } from '../api.ts';
import { nameOf, wholeOf } from '../door.ts';
import type { Host } from '../host.ts';
import { Refusal } from '../refusal.ts';

export function jobRoutes({ library, measuring }: Host): Hono {
  const known = (id: string): Job => {
    const job = measuring.job(id);
    if (job) return job;
    throw new Refusal(404, 'no-such-job', `No measuring “${id}” since the program was started. Measure again.`);
  };
  return new Hono()
    .post('/inks/:ink/measure', (c) => {
      const ink = wholeOf(c, 'ink');
      library.revision(ink);
      return c.json(measuring.start(ink), 202);
    })
    .get('/jobs/:job', (c) => c.json(known(nameOf(c, 'job'))))
    .delete('/jobs/:job', (c) => {
      const { id } = known(nameOf(c, 'job'));
      measuring.cancel(id);
      return c.json(known(id));
    });
}
