/** Edits on their way to the library, one after another for each ink. Shown as saved only when the library has answered. */
import type { Problem, Work } from '../../electron/backend/api.ts';
import { ApiProblem, problemOf } from './client.ts';

export type Saving =
  | { readonly state: 'saved' }
  | { readonly state: 'saving' }
  /** `count` edits are not in the library; `problem` is of the first. */
  | { readonly state: 'failed'; readonly problem: Problem; readonly count: number };

export interface Save {
  readonly send: () => Promise<Work>;
  /** Whether it is kept for another try after a failure; an undo is not: by then it might take back something else. */
  readonly keep: boolean;
}

interface Line {
  last: Promise<unknown>;
  waiting: number;
  failed: { readonly save: Save; readonly problem: Problem }[];
  shown: Saving;
}

const SAVED: Saving = { state: 'saved' };

export class SaveQueue {
  private readonly lines = new Map<number, Line>();
  private readonly listeners = new Set<() => void>();
  private readonly take: (ink: number, work: Work) => void;

  constructor(take: (ink: number, work: Work) => void) {
    this.take = take;
  }

  /** @returns null when saved; never rejects. */
  add(ink: number, save: Save): Promise<Problem | null> {
    const line = this.line(ink);
    line.waiting++;
    this.show(line);
    const outcome = line.last.then(() => this.carryOut(ink, line, save));
    line.last = outcome;
    return outcome;
  }

  again(ink: number): void {
    const line = this.line(ink);
    const failed = line.failed;
    line.failed = [];
    for (const { save } of failed) void this.add(ink, save);
  }

  /** Of every ink: once the program answers again, nobody should have to ask for it. */
  allAgain(): void {
    for (const ink of this.lines.keys()) this.again(ink);
  }

  giveUp(ink: number): void {
    const line = this.line(ink);
    line.failed = [];
    this.show(line);
  }

  /** Resolves when nothing is on its way. */
  async settled(ink: number): Promise<void> {
    await this.lines.get(ink)?.last;
  }

  read(ink: number | null): Saving {
    return (ink !== null && this.lines.get(ink)?.shown) || SAVED;
  }

  /** Whether any ink has edits that the library does not have. */
  unsaved(): boolean {
    return [...this.lines.values()].some((line) => line.shown.state !== 'saved');
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => {
      this.listeners.delete(listener);
    };
  };

  private async carryOut(ink: number, line: Line, save: Save): Promise<Problem | null> {
    let problem: Problem | null = null;
    try {
      this.take(ink, await save.send());
    } catch (error) {
      problem = problemOf(error);
      if (save.keep && mayWorkLater(error)) line.failed.push({ save, problem });
    }
    line.waiting--;
    this.show(line);
    return problem;
  }

  private line(ink: number): Line {
    const held = this.lines.get(ink);
    if (held) return held;
    const line: Line = { last: Promise.resolve(), waiting: 0, failed: [], shown: SAVED };
    this.lines.set(ink, line);
    return line;
  }

  private show(line: Line): void {
    const [first] = line.failed;
    if (line.waiting > 0) line.shown = { state: 'saving' };
    else if (first !== undefined) line.shown = { state: 'failed', problem: first.problem, count: line.failed.length };
    else line.shown = SAVED;
    for (const listener of this.listeners) listener();
  }
}

/** What the library refused for a reason would be refused again; what did not reach it is worth another try. */
function mayWorkLater(error: unknown): boolean {
  if (!(error instanceof ApiProblem)) return true;
  // 403: the program was started anew and does not know this window yet.
  return error.status === 0 || error.status === 403 || error.status >= 500;
}
