/** Targets: what there is to choose from, the target on a scan with its report card, and teaching the card by one. */
import { Hono } from 'hono';
import { z } from 'zod';
import { reportOfTarget } from '../../answers/calibrationReport.ts';
import { knownTargets, targetGrid } from '../../answers/knownTargets.ts';
import { targetView } from '../../answers/targetView.ts';
import { taughtCard } from '../../answers/taughtCard.ts';
import { sheetId } from '../../sheet/sheetSchema.ts';
import { bodyOf, nameOf, wholeOf } from '../door.ts';
import type { Host } from '../host.ts';

const teachRequest = z.strictObject({ scans: z.array(sheetId).max(20).default([]) });

export function targetRoutes({ library, measuring }: Host): Hono {
  return new Hono()
    .get('/targets', (c) => c.json(knownTargets(library)))
    .get('/targets/:layout/:reference', (c) => c.json(targetGrid(library, nameOf(c, 'layout'), nameOf(c, 'reference'))))
    .get('/inks/:ink/targets/:scan', async (c) =>
      c.json(await targetView(library, measuring, wholeOf(c, 'ink'), nameOf(c, 'scan'))),
    )
    .get('/inks/:ink/targets/:scan/report', async (c) =>
      c.json(await reportOfTarget(library, measuring, wholeOf(c, 'ink'), nameOf(c, 'scan'), c.req.raw.signal)),
    )
    .post('/inks/:ink/targets/:scan/teach', async (c) => {
      const { scans } = await bodyOf(c, teachRequest);
      const all = [nameOf(c, 'scan'), ...scans];
      return c.json(await taughtCard(library, measuring, wholeOf(c, 'ink'), all, c.req.raw.signal), 201);
    });
}
