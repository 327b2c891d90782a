/** All that a person does to an ink's work, and takes back again. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import { editSchema } from '../../library/editSchema.ts';
import type { StepBy } from '../../library/history.ts';
import { keepBuiltIns } from '../../answers/knownTargets.ts';
import { workOf } from '../../answers/workOf.ts';
import type { EditAnswer, NameNow } from '../api.ts';
import { bodyOf, nameOf, requestName, wholeOf } from '../door.ts';
import type { Host } from '../host.ts';
import { Refusal } from '../refusal.ts';

const editRequest = z.strictObject({
  edit: editSchema,
  revision: z.int().nonnegative().optional(),
  request: requestName,
});
const stepRequest = z.strictObject({
  step: z.int().positive().optional(),
  after: requestName,
  request: requestName,
});

export function editRoutes({ library, measuring }: Host): Hono {
  return new Hono()
    .post('/inks/:ink/edits', async (c) => {
      const ink = wholeOf(c, 'ink');
      const { edit, revision, request } = await bodyOf(c, editRequest);
      if (edit.edit === 'addScans') {
        throw new Refusal(400, 'bad-request', 'edit "addScans": scans come in by their files; send them to …/import.');
      }
      if (edit.edit === 'setTarget' && edit.target) {
        await keepBuiltIns(library, [edit.target.layout, edit.target.reference]);
      }
      const overtook = library.edit(ink, edit, { seen: revision ?? null, request: request ?? null });
      return c.json({ ...workOf(library, measuring, ink), overtook } satisfies EditAnswer);
    })
    .get('/inks/:ink/named/:what{scans|regions}/:name', (c) => {
      const what = nameOf(c, 'what') === 'scans' ? 'scans' : 'regions';
      return c.json({ name: library.nameNow(wholeOf(c, 'ink'), what, nameOf(c, 'name')) } satisfies NameNow);
    })
    .post('/inks/:ink/undo', async (c) => {
      const ink = wholeOf(c, 'ink');
      if (library.undo(ink, await stepBy(c)) === null) throw nothing('undo');
      return c.json(workOf(library, measuring, ink));
    })
    .post('/inks/:ink/redo', async (c) => {
      const ink = wholeOf(c, 'ink');
      if (library.redo(ink, await stepBy(c)) === null) throw nothing('redo');
      return c.json(workOf(library, measuring, ink));
    });
}

async function stepBy(c: Context): Promise<StepBy> {
  const { step, after = null, request = null } = await bodyOf(c, stepRequest);
  return { request, after, ...(step !== undefined && { step }) };
}

function nothing(which: 'undo' | 'redo'): Refusal {
  const why =
    which === 'undo'
      ? 'There is nothing to undo: this is how the ink was first kept.'
      : 'There is nothing to redo: the last change is the newest.';
  return new Refusal(409, `nothing-to-${which}`, why);
}
