/** How it stands with each file that was brought: a pure reducer. */

export type LineState = 'waiting' | 'sending' | 'kept' | 'refused' | 'cancelled' | 'failed';

export interface BroughtLine {
  readonly name: string;
  readonly state: LineState;
  /** 0..1; null: not known. */
  readonly part: number | null;
  /** What there is to say; '' while it is on its way. */
  readonly words: string;
  /** Whether the words are worth reading when all is done, though nothing went wrong. */
  readonly stays: boolean;
}

export function startLine(name: string): BroughtLine {
  return { name, state: 'waiting', part: 0, words: '', stays: false };
}

/** Ended lines stay as they are: progress that comes late does not wake them. */
export function changeLine(line: BroughtLine, change: Partial<BroughtLine>): BroughtLine {
  const ended = line.state !== 'waiting' && line.state !== 'sending';
  return ended && (change.state === undefined || change.state === 'sending') ? line : { ...line, ...change };
}

/** Whether the person should see it after all is done. */
export function isWorthReading({ state, stays }: BroughtLine): boolean {
  return state === 'refused' || state === 'failed' || (state === 'kept' && stays);
}

/** '3 of 5', counted in files that have ended. */
export function endedOf(lines: readonly BroughtLine[]): { readonly done: number; readonly total: number } {
  const done = lines.filter(({ state }) => state !== 'waiting' && state !== 'sending').length;
  return { done, total: lines.length };
}
