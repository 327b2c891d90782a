import type { JsonBytes } from '../answers/keptAnswers.ts';

/** An answer that is JSON already. */
export function inJson(bytes: JsonBytes): Response {
  return new Response(bytes, {
    headers: { 'content-type': 'application/json', 'content-length': String(bytes.length) },
  });
}
