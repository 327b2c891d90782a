/** How what goes wrong reaches the window: a `Problem` in words, with a status that fits. */
import type { ContentfulStatusCode } from 'hono/utils/http-status';
import { JobError } from '../jobs/jobError.ts';
import { ScanError } from '../scans/scanError.ts';
import { SheetError } from '../sheet/sheetError.ts';
import type { Problem } from './api.ts';

/** A request that is refused at the door. One line: what was found, what was expected, what to do. */
export class Refusal extends Error {
  readonly status: ContentfulStatusCode;
  readonly code: string;

  constructor(status: ContentfulStatusCode, code: string, message: string) {
    super(message);
    this.name = 'Refusal';
    this.status = status;
    this.code = code;
  }
}

/** What the parts of the host say, by the end of its code; the first that fits counts. */
const STATUS_BY_CODE: readonly (readonly [RegExp, ContentfulStatusCode])[] = [
  [/^colours-changed$/, 410],
  [/^(changed-elsewhere|library-in-use|nothing-to-(undo|redo))$/, 409],
  [/^(no-|unknown-)|-(unknown|missing|gone|not-found)$/, 404],
  [/too-(large|big)$/, 413],
  [/^(library-full|disk-full|no-space)$|-full$/, 507],
];

/** @returns the status and the answer's body; `defect` when nobody foresaw it. */
export function problemOf(error: unknown): {
  readonly status: ContentfulStatusCode;
  readonly problem: Problem;
  readonly defect: boolean;
} {
  const answer = (status: ContentfulStatusCode, code: string, message: string) => ({
    status,
    problem: { code, message },
    defect: false,
  });
  if (error instanceof Refusal) return answer(error.status, error.code, error.message);
  if (error instanceof Error) {
    const code = 'code' in error && typeof error.code === 'string' ? error.code : '';
    if (code === 'ENOSPC' || code === 'EDQUOT') {
      return answer(507, 'disk-full', 'The disk is full; nothing was kept. Free some space and do it again.');
    }
    if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS') {
      return answer(403, 'not-permitted', `${error.message}. See that the library's folder may be written to.`);
    }
    if (error.name === 'AbortError') return answer(503, 'given-up', 'This was given up before it was done; ask again.');
    const foreseen =
      error instanceof ScanError ||
      error instanceof SheetError ||
      error instanceof JobError ||
      error.name === 'LibraryError';
    if (foreseen && code !== '') {
      const [, status] = STATUS_BY_CODE.find(([pattern]) => pattern.test(code)) ?? [null, 422];
      return answer(status, code, error.message);
    }
  }
  const what = error instanceof Error ? error.message : String(error);
  return {
    status: 500,
    problem: { code: 'unexpected', message: `Unexpected: ${what}. This is a defect of the program.` },
    defect: true,
  };
}
