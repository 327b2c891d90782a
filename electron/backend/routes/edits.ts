/** All that a person does to an ink's work, and takes back again. */
import { Hono } from 'hono';
import { z } from 'zod';
import { editSchema } from '../../library/editSchema.ts';
import { keepBuiltIns } from '../../answers/knownTargets.ts';
import { workOf } from '../../answers/workOf.ts';
import { bodyOf, wholeOf } from '../door.ts';
import type { Host } from '../host.ts';
import { Refusal } from '../refusal.ts';

const editRequest = z.strictObject({ edit: editSchema, revision: z.int().nonnegative().optional() });

export function editRoutes({ library, measuring }: Host): Hono {
  return new Hono()
    .post('/inks/:ink/edits', async (c) => {
      const ink = wholeOf(c, 'ink');
      const { edit, revision } = await bodyOf(c, editRequest);
      if (edit.edit === 'addScans') {
        throw new Refusal(400, 'bad-request', 'edit "addScans": scans come in by their files; send them to …/import.');
      }
      if (edit.edit === 'setTarget' && edit.target) {
        await keepBuiltIns(library, [edit.target.layout, edit.target.reference]);
      }
      library.edit(ink, edit, revision);
      return c.json(workOf(library, measuring, ink));
    })
    .post('/inks/:ink/undo', async (c) => {
      const ink = wholeOf(c, 'ink');
      if (library.undo(ink) === null) throw nothing('undo');
      return c.json(workOf(library, measuring, ink));
    })
    .post('/inks/:ink/redo', async (c) => {
      const ink = wholeOf(c, 'ink');
      if (library.redo(ink) === null) throw nothing('redo');
      return c.json(workOf(library, measuring, ink));
    });
}

function nothing(which: 'undo' | 'redo'): Refusal {
  const why =
    which === 'undo'
      ? 'There is nothing to undo: this is how the ink was first kept.'
      : 'There is nothing to redo: the last change is the newest.';
  return new Refusal(409, `nothing-to-${which}`, why);
}
