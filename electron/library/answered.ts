/** Requests that were carried out, by their names: one whose answer got lost comes again, and changes nothing a second time. */
import type { Database } from './database.ts';

/** How long a request is known again: a window that was cut off may come back the next day. */
const REMEMBERED_MS = 7 * 24 * 3600 * 1000;

/** What undo and redo would take of an ink, by number; null: nothing. */
export interface NextSteps {
  readonly undo: number | null;
  readonly redo: number | null;
}

export class Answered {
  private readonly database: Database;
  private readonly now: () => number;

  constructor(database: Database, now: () => number) {
    this.database = database;
    this.now = now;
  }

  /**
   * @param request Null: without a name it is carried out as often as it comes.
   * @param carryOut Ends in what is to be said to it, now and whenever it comes again.
   * @param nextSteps Of its ink, right after it.
   */
  once(request: string | null, carryOut: () => string | null, nextSteps?: () => NextSteps): string | null {
    return this.database.whole(() => {
      if (request === null) return carryOut();
      const before = this.database
        .all<{ said: string | null }>('SELECT said FROM answered WHERE request = ?', request)
        .at(0);
      if (before) return before.said;
      const said = carryOut();
      const now = this.now();
      const { undo, redo } = nextSteps?.() ?? { undo: null, redo: null };
      this.database.run('DELETE FROM answered WHERE at_ms < ?', now - REMEMBERED_MS);
      this.database.run(
        'INSERT INTO answered (request, said, at_ms, undo, redo) VALUES (?, ?, ?, ?, ?)',
        request,
        said,
        now,
        undo,
        redo,
      );
      return said;
    });
  }

  /** As they were right after a request; null: it was never carried out. */
  stepsAfter(request: string): NextSteps | null {
    return this.database.all<NextSteps>('SELECT undo, redo FROM answered WHERE request = ?', request).at(0) ?? null;
  }
}
