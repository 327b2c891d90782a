/**
 * A browser writes every answer that is not 2xx into its console as an error, and there is no way to keep it from that. That something is
 * not there (an ink that was removed, a region not measured yet) is an answer like another: whoever asks for it gets it as 200, with the
 * status that it would have had beside it.
 */

/** What a window sends with its questions. */
export interface ProblemsAsAnswers {
  readonly 'x-problems': 'as-answers';
}
/** The header of an answer that would have had another status. */
export type StatusHeader = 'x-status';

export const STATUS_HEADER: StatusHeader = 'x-status';
const WISH: ProblemsAsAnswers = { 'x-problems': 'as-answers' };

/** Not there, gone, not as it is now. Faults of the program and refusals at the door stay loud. */
const QUIET = [404, 410, 422];

/** @param request that the answer is to */
export function isQuiet(request: Request, status: number): boolean {
  const wished = Object.entries(WISH).every(([name, wish]) => request.headers.get(name) === wish);
  return wished && request.method === 'GET' && QUIET.includes(status);
}
