/**
 * What the window before a reload had no answer to: each is sent once more, by the same name, before whatever is done in this one. It waits in
 * the queue like all else: while it does not get through the window says so, and tries again by itself.
 */
import type { Problem, Work } from '../../electron/backend/api.ts';
import { ApiProblem, getHello, getWork, sendEdit, sendStep } from './client.ts';
import { drawnFrom } from './drawnFrom.ts';
import { noteLeft } from './leftEdits.ts';
import { tellNotKept, told } from './meanwhile.ts';
import { noteLast } from './nextRequest.ts';
import { ontoSteps } from './ontoOwnStep.ts';
import { stepBegins, stepEnds, stepped } from './ownSteps.ts';
import type { SaveQueue } from './saveQueue.ts';
import { forgetUnsent, takeUnsent, type Unsent } from './unsent.ts';

/** What came of one that was done to another library, which answered at this address before: it is forgotten. */
export const OTHER_LIBRARY: Problem = {
  code: 'other-library',
  message: 'This change was made in another library.',
};

/** Resolves when all of it has been tried. */
export async function sendLeft(saves: SaveQueue): Promise<void> {
  const all = takeUnsent();
  let library: string | null = null;
  for (const one of all) {
    const { ink, request } = one;
    const send = sender(one);
    noteLast(ink, request);
    stepBegins(ink);
    const save = async (latest: Work | null): Promise<Work> => {
      library ??= (await getHello()).library;
      if (one.library !== null && one.library !== library) throw new ApiProblem(OTHER_LIBRARY, 409);
      try {
        return stepped(ink, await send(latest));
      } catch (error) {
        // Whoever answers the next try may be started anew, with another library.
        library = null;
        throw error;
      }
    };
    const over = saves.add(ink, { send: save }).then((problem) => {
      stepEnds(ink);
      forgetUnsent(request);
      if (problem && problem.code !== OTHER_LIBRARY.code) tellNotKept(ink, problem);
      return problem === null;
    });
    noteLeft(one, over);
  }
  await Promise.all(all.map(({ ink }) => saves.settled(ink)));
}

function sender(one: Unsent): (latest: Work | null) => Promise<Work> {
  const { ink } = one;
  if (one.to === 'edits') {
    let known: Work | null = null;
    return async (latest) => {
      known = latest ?? known;
      const { edit } = one.body;
      const now = one.duringStep ? (known ?? (await getWork(ink))) : null;
      const onto = now ? drawnFrom(ontoSteps(edit, now), now) : edit;
      // Behind another of these the work was older when this was made: what that changed is no other window's.
      return told(ink, await sendEdit(ink, { ...one.body, edit: onto, ...(known && { revision: known.revision }) }));
    };
  }
  let { step } = one.body;
  return async (latest) => {
    step = latest?.steps[one.to] ?? step;
    return sendStep(ink, one.to, { ...one.body, ...(step !== undefined && { step }) });
  };
}
