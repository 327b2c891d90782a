/**
 * Edits on their way to the library, one after another for each ink. Shown as saved only when the library has answered. One that did not
 * reach it goes before whatever is done after it: what was done last stands at the end, and an undo takes that back.
 */
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

interface Failure {
  readonly problem: Problem;
  readonly mayWorkLater: boolean;
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
    return this.inTurn(line, () => this.carryOut(ink, line, save));
  }

  again(ink: number): void {
    const line = this.line(ink);
    if (line.failed.length > 0) void this.inTurn(line, () => this.carryOutFailed(ink, line));
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

  private inTurn<T>(line: Line, does: () => Promise<T>): Promise<T> {
    line.waiting++;
    this.show(line);
    const outcome = line.last.then(async () => {
      const done = await does();
      line.waiting--;
      this.show(line);
      return done;
    });
    line.last = outcome;
    return outcome;
  }

  private async carryOut(ink: number, line: Line, save: Save): Promise<Problem | null> {
    const before = await this.carryOutFailed(ink, line);
    const outcome = before ?? (await this.tried(ink, save));
    if (save.keep && outcome?.mayWorkLater) line.failed.push({ save, problem: outcome.problem });
    return outcome?.problem ?? null;
  }

  /** @returns why the first of those that are kept still does not reach the library; null: it has them all. */
  private async carryOutFailed(ink: number, line: Line): Promise<Failure | null> {
    for (let first = line.failed.at(0); first !== undefined; first = line.failed.at(0)) {
      const tried = first;
      const failure = await this.tried(ink, tried.save);
      if (failure?.mayWorkLater) return failure;
      // Given up meanwhile, it is no longer the first.
      line.failed = line.failed.filter((other) => other !== tried);
    }
    return null;
  }

  private async tried(ink: number, save: Save): Promise<Failure | null> {
    try {
      this.take(ink, await save.send());
      return null;
    } catch (error) {
      return { problem: problemOf(error), mayWorkLater: mayWorkLater(error) };
    }
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
