/**
 * A browser writes every answer that is not 2xx into its console as an error, and there is no way to keep it from that. That something is
 * not there (an ink that was removed, a region not measured yet) is an answer like another: whoever asks for it gets it as 200, with the
 * status that it would have had beside it.
 */

import type { Problem } from './api.ts';

/** What a window sends with its questions. */
export interface ProblemsAsAnswers {
  readonly 'x-problems': 'as-answers';
}
/** The header of an answer that would have had another status. */
export type StatusHeader = 'x-status';

const STATUS_HEADER: StatusHeader = 'x-status';
const WISH: ProblemsAsAnswers = { 'x-problems': 'as-answers' };

/** Not there, gone, not as it is now. Faults of the program and refusals at the door stay loud. */
const QUIET = [404, 410, 422];
/** Whoever holds the keys of undo down comes to the end of it: no fault of anybody. */
const QUIET_CODES = ['nothing-to-undo', 'nothing-to-redo'];

/** @param request that the answer is to. @returns null: as it is */
export function quietAnswer(request: Request, status: number, problem: Problem): Response | null {
  const headers = { [STATUS_HEADER]: String(status) };
  const isGone = request.method === 'GET' && QUIET.includes(status);
  const wished = Object.entries(WISH).every(([name, wish]) => request.headers.get(name) === wish);
  if (wished && (isGone || QUIET_CODES.includes(problem.code))) return Response.json(problem, { headers });
  // A picture on its way when its scan is taken away: an image sends no wish and reads no words, and without bytes it fails as ever.
  if (isGone && request.headers.get('sec-fetch-dest') === 'image') return new Response(null, { status: 204, headers });
  return null;
}
