/**
 * What a person did and the library has not answered to: noted where it outlives a reload of the window. Each is sent once more after it, by
 * the same name, and the library carries out once what has one name.
 */
import type { EditRequest, StepRequest } from '../../electron/backend/api.ts';
import { keepInTab, readKept } from './keptInTab.ts';

interface Noted {
  readonly request: string;
  /** Folder: another library may answer at the same address by then. Null: the window did not know yet, as in its first moments. */
  readonly library: string | null;
  readonly ink: number;
}
interface NotedEdit extends Noted {
  readonly to: 'edits';
  readonly body: EditRequest;
  /** Made of the work as it was before a step of the window. */
  readonly duringStep: boolean;
}
interface NotedStep extends Noted {
  readonly to: 'undo' | 'redo';
  readonly body: StepRequest;
}
export type Unsent = NotedEdit | NotedStep;
export type Sent = Omit<NotedEdit, keyof Noted> | Omit<NotedStep, keyof Noted>;

const PLACE = 'wetline.unsent';
let noted = readKept<Unsent>(PLACE, isUnsent);
let left = noted;

export function noteUnsent(one: Unsent): void {
  write([...noted, one]);
}

export function forgetUnsent(request: string): void {
  write(noted.filter((one) => one.request !== request));
}

/** What was noted before the window knew which library it shows is of this one. */
export function noteLibrary(library: string): void {
  if (noted.some((one) => one.library === null))
    write(noted.map((one) => (one.library === null ? { ...one, library } : one)));
}

/** What the window before the reload left, in its order; once. */
export function takeUnsent(): readonly Unsent[] {
  const all = left;
  left = [];
  return all;
}

function isUnsent(one: Partial<Unsent> | null): one is Unsent {
  const { request, ink, to, body } = one ?? {};
  const isNoted = typeof request === 'string' && typeof ink === 'number' && typeof body === 'object' && body !== null;
  return isNoted && (to === 'undo' || to === 'redo' || (to === 'edits' && 'edit' in body));
}

/** Where the tab keeps nothing it is lost only when the window is loaded anew, and the window asks first. */
function write(next: readonly Unsent[]): void {
  noted = next;
  keepInTab(PLACE, noted);
}
