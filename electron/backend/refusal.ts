/** How what goes wrong reaches the window: a `Problem` in words, with a status that fits. */
import type { ContentfulStatusCode } from 'hono/utils/http-status';
import { JobError } from '../jobs/jobError.ts';
import { LibraryError } from '../library/libraryError.ts';
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

/** Codes of the host's parts that say more than that the request cannot be carried out (422). */
const STATUS_OF: ReadonlyMap<string, ContentfulStatusCode> = new Map<string, ContentfulStatusCode>([
  ['edit-invalid', 400],
  ['ink-unnamed', 400],
  ['region-off-scan', 400],
  ['scan-outside', 400],
  ['json-syntax', 400],
  ['library-denied', 403],
  ['no-such-ink', 404],
  ['no-such-scan', 404],
  ['no-such-region', 404],
  ['no-such-file', 404],
  ['no-target', 404],
  ['not-measured', 404],
  ['file-missing', 404],
  ['scan-missing', 404],
  ['sheet-missing', 404],
  ['scan-gone', 404],
  ['changed-elsewhere', 409],
  ['id-taken', 409],
  ['library-in-use', 409],
  ['colours-changed', 410],
  ['closing', 503],
  // What the disk would not take may go through another time: the window keeps it, as while nobody answers.
  ['library-busy', 503],
  ['library-gone', 503],
  ['library-storage', 503],
  ['disk-full', 507],
]);

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
    const foreseen = [LibraryError, JobError, ScanError, SheetError].some((kind) => error instanceof kind);
    if (foreseen) return answer(STATUS_OF.get(code) ?? 422, code, error.message);
  }
  const what = error instanceof Error ? error.message : String(error);
  return {
    status: 500,
    problem: {
      code: 'unexpected',
      message: `Unexpected: ${what.replace(/\.$/, '')}. This is a defect of the program.`,
    },
    defect: true,
  };
}

/** More is no line that anybody reads: its ends say what it is about. */
const MOST_LETTERS = 600;

/** A message as one line, whatever was asked for and is repeated in it. */
export function oneLine(message: string): string {
  const line = message.replaceAll(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ');
  return line.length > MOST_LETTERS ? `${line.slice(0, MOST_LETTERS / 2)} … ${line.slice(-MOST_LETTERS / 2)}` : line;
}
