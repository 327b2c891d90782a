/** Requests that were carried out, by their names: one whose answer got lost comes again, and changes nothing a second time. */
import type { Database } from './database.ts';

/** How long a request is known again: a window that was cut off may come back the next day. */
const REMEMBERED_MS = 7 * 24 * 3600 * 1000;

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
   */
  once(request: string | null, carryOut: () => string | null): string | null {
    return this.database.whole(() => {
      if (request === null) return carryOut();
      const before = this.database
        .all<{ said: string | null }>('SELECT said FROM answered WHERE request = ?', request)
        .at(0);
      if (before) return before.said;
      const said = carryOut();
      const now = this.now();
      this.database.run('DELETE FROM answered WHERE at_ms < ?', now - REMEMBERED_MS);
      this.database.run('INSERT INTO answered (request, said, at_ms) VALUES (?, ?, ?)', request, said, now);
      return said;
    });
  }
}
