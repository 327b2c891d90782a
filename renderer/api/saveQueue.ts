/**
 * Edits on their way to the library, one after another for each ink. Shown as saved only when the library has answered. One that did not
 * reach it goes before whatever is done after it: what was done last stands at the end, and an undo takes that back.
 * It is tried again by itself, after growing pauses.
 */
import type { Problem, Work } from '../../electron/backend/api.ts';
import { ApiProblem, problemOf } from './client.ts';

export type Saving =
  | { readonly state: 'saved' }
  | { readonly state: 'saving' }
  /** `count` edits are not in the library; `problem` is of the first. */
  | { readonly state: 'failed'; readonly problem: Problem; readonly count: number };

export interface Save {
  /** @param latest what the library answered to the one before it in a row without a pause; null: nothing was on its way before it */
  readonly send: (latest: Work | null) => Promise<Work>;
}

/** Between one try and the next by itself, ms; the last again and again. */
const WAITS_MS = [1000, 2000, 4000, 8000, 15_000, 30_000];

interface Waiting {
  readonly save: Save;
  /** Tells whoever made it what came of it; once. */
  readonly answer: (problem: Problem | null) => void;
}

interface Failure {
  readonly problem: Problem;
  readonly mayWorkLater: boolean;
}

interface Line {
  last: Promise<unknown>;
  /** In the queue, tries that nobody asked for left out. */
  waiting: number;
  /** In the queue, all of them. */
  queued: number;
  latest: Work | null;
  /** The next try by itself, and how many there were in a row. */
  timer: ReturnType<typeof setTimeout> | null;
  tries: number;
  failed: (Waiting & { readonly problem: Problem })[];
  shown: Saving;
}

const SAVED: Saving = { state: 'saved' };

/** What came of one that a person let go. */
export const LET_GO: Problem = { code: 'let-go', message: 'This change was let go.' };

export class SaveQueue {
  private readonly lines = new Map<number, Line>();
  private readonly listeners = new Set<() => void>();
  private readonly take: (ink: number, work: Work) => void;
  private readonly onRefused: (ink: number, problem: Problem) => void;

  /** @param onRefused Told of one that the library refused when it came once more: by then nobody may look where it was made. */
  constructor(
    take: (ink: number, work: Work) => void,
    onRefused: (ink: number, problem: Problem) => void = () => undefined,
  ) {
    this.take = take;
    this.onRefused = onRefused;
  }

  /** @returns null once saved, else why not, when all its tries are over. Never rejects. */
  add(ink: number, save: Save): Promise<Problem | null> {
    const line = this.line(ink);
    return new Promise((answer) => {
      void this.inTurn(ink, line, () => this.carryOut(ink, line, { save, answer })).then((outcome) => {
        if (outcome !== 'kept') answer(outcome);
      });
    });
  }

  again(ink: number): void {
    const line = this.line(ink);
    line.tries = 0;
    if (line.failed.length > 0) void this.inTurn(ink, line, () => this.carryOutFailed(ink, line));
  }

  /** Of every ink: once the program answers again, nobody should have to ask for it. */
  allAgain(): void {
    for (const ink of this.lines.keys()) this.again(ink);
  }

  giveUp(ink: number): void {
    const line = this.line(ink);
    const letGo = line.failed;
    line.failed = [];
    line.tries = 0;
    if (line.timer !== null) clearTimeout(line.timer);
    for (const { answer } of letGo) answer(LET_GO);
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

  /** @param isAsked False for a try that nobody asked for: until it comes through, the state stands. */
  private inTurn<T>(ink: number, line: Line, does: () => Promise<T>, isAsked = true): Promise<T> {
    const weight = isAsked ? 1 : 0;
    line.waiting += weight;
    line.queued++;
    if (line.timer !== null) clearTimeout(line.timer);
    line.timer = null;
    this.show(line);
    const outcome = line.last.then(async () => {
      const done = await does();
      line.waiting -= weight;
      line.queued--;
      if (line.queued === 0) this.pause(ink, line);
      this.show(line);
      return done;
    });
    line.last = outcome;
    return outcome;
  }

  private pause(ink: number, line: Line): void {
    line.latest = null;
    if (line.failed.length === 0) {
      line.tries = 0;
      return;
    }
    const wait = WAITS_MS[Math.min(line.tries, WAITS_MS.length - 1)];
    line.tries++;
    line.timer = setTimeout(() => {
      if (line.failed.length > 0) void this.inTurn(ink, line, () => this.carryOutFailed(ink, line), false);
    }, wait);
  }

  private async carryOut(ink: number, line: Line, one: Waiting): Promise<Problem | null | 'kept'> {
    const before = await this.carryOutFailed(ink, line);
    const outcome = before ?? (await this.tried(ink, line, one.save));
    if (!outcome?.mayWorkLater) return outcome?.problem ?? null;
    line.failed.push({ ...one, problem: outcome.problem });
    return 'kept';
  }

  /** @returns why the first of those that are kept still does not reach the library; null: it has them all. */
  private async carryOutFailed(ink: number, line: Line): Promise<Failure | null> {
    for (let first = line.failed.at(0); first !== undefined; first = line.failed.at(0)) {
      const tried = first;
      const failure = await this.tried(ink, line, tried.save);
      if (failure?.mayWorkLater) return failure;
      if (failure) this.onRefused(ink, failure.problem);
      // Given up meanwhile, it is no longer the first.
      line.failed = line.failed.filter((other) => other !== tried);
      tried.answer(failure?.problem ?? null);
    }
    return null;
  }

  private async tried(ink: number, line: Line, save: Save): Promise<Failure | null> {
    try {
      line.latest = await save.send(line.latest);
      this.take(ink, line.latest);
      return null;
    } catch (error) {
      return { problem: problemOf(error), mayWorkLater: mayWorkLater(error) };
    }
  }

  private line(ink: number): Line {
    const held = this.lines.get(ink);
    if (held) return held;
    const line: Line = {
      last: Promise.resolve(),
      waiting: 0,
      queued: 0,
      latest: null,
      timer: null,
      tries: 0,
      failed: [],
      shown: SAVED,
    };
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
  // Another window took the ink off the shelf: it can be put back, and then this is done.
  if (error.code === 'no-such-ink') return true;
  // 403: the program was started anew and does not know this window yet.
  return error.status === 0 || error.status === 403 || error.status >= 500;
}
