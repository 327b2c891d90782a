/** Edits of an ink's work, each a step that can be taken back and done again, also after a restart. */
import { applyEdit } from './applyEdit.ts';
import type { DocumentFacts } from './applyEdit.ts';
import type { Database } from './database.ts';
import type { Edit, InkDocument } from './document.ts';
import { deltaBetween, redone, undone } from './documentDelta.ts';
import type { DocumentDelta } from './documentDelta.ts';
import { readDocument, writeDocument } from './documentRows.ts';
import type { InkShelf } from './inkShelf.ts';
import { LibraryError } from './libraryError.ts';

interface Step {
  readonly id: number;
  readonly what: string;
  readonly same: string | null;
  /** JSON of a `DocumentDelta`. */
  readonly delta: string;
  readonly at_ms: number;
}

/** Moves of one region that follow each other within this are one step: nudging with the arrow keys. */
const AT_ONCE_MS = 1000;

export class History {
  private readonly database: Database;
  private readonly shelf: InkShelf;
  private readonly facts: DocumentFacts;
  private readonly now: () => number;

  constructor(database: Database, shelf: InkShelf, facts: DocumentFacts, now: () => number) {
    this.database = database;
    this.shelf = shelf;
    this.facts = facts;
    this.now = now;
  }

  document(ink: number): InkDocument {
    this.shelf.ink(ink);
    const document = readDocument(this.database, ink);
    if (!document) throw new LibraryError('no-such-ink', `no ink ${ink} on the shelf; expected one that is there.`);
    return document;
  }

  /** Puts a whole document in place of an ink's, without a step: for inks that have just been made. */
  begin(ink: number, document: InkDocument): void {
    this.database.whole(() => writeDocument(this.database, ink, document, this.shelf.advance(ink)));
  }

  /** The new revision; null: the edit changes nothing. @throws LibraryError */
  edit(ink: number, edit: Edit, seen: number | null): number | null {
    return this.database.whole(() => {
      const document = this.document(ink);
      if (seen !== null) this.refuseStale(ink, edit, seen);
      const done = applyEdit(document, edit, this.facts);
      const delta = done && deltaBetween(document, done.document);
      if (!done || !delta) return null;
      this.append(ink, document, done.document, delta, done.what, done.same);
      const revision = this.shelf.advance(ink);
      writeDocument(this.database, ink, done.document, revision);
      return revision;
    });
  }

  undo(ink: number): { readonly what: string; readonly revision: number } | null {
    return this.step(ink, 'undo');
  }

  redo(ink: number): { readonly what: string; readonly revision: number } | null {
    return this.step(ink, 'redo');
  }

  words(ink: number): { undo: string | null; redo: string | null } {
    this.shelf.ink(ink);
    return { undo: this.next(ink, 'undo')?.what ?? null, redo: this.next(ink, 'redo')?.what ?? null };
  }

  private step(ink: number, way: 'undo' | 'redo') {
    return this.database.whole(() => {
      const document = this.document(ink);
      const step = this.next(ink, way);
      if (!step) return null;
      const delta: DocumentDelta = JSON.parse(step.delta);
      const after = way === 'undo' ? undone(document, delta) : redone(document, delta);
      this.database.run('UPDATE edit SET undone = ? WHERE id = ?', way === 'undo' ? 1 : 0, step.id);
      const revision = this.shelf.advance(ink);
      writeDocument(this.database, ink, after, revision);
      return { what: step.what, revision };
    });
  }

  private next(ink: number, way: 'undo' | 'redo'): Step | undefined {
    return way === 'undo'
      ? this.database.all<Step>('SELECT * FROM edit WHERE ink = ? AND undone = 0 ORDER BY id DESC LIMIT 1', ink).at(0)
      : this.database.all<Step>('SELECT * FROM edit WHERE ink = ? AND undone = 1 ORDER BY id LIMIT 1', ink).at(0);
  }

  private append(
    ink: number,
    before: InkDocument,
    after: InkDocument,
    delta: DocumentDelta,
    what: string,
    same: string | null,
  ): void {
    const now = this.now();
    const dropped = this.database.run('DELETE FROM edit WHERE ink = ? AND undone = 1', ink).changes;
    const last = dropped > 0 || same === null ? undefined : this.next(ink, 'undo');
    if (last && last.same === same && now - last.at_ms <= AT_ONCE_MS) {
      const both = deltaBetween(undone(before, JSON.parse(last.delta)), after);
      // Back where it began: no step at all.
      if (!both) this.database.run('DELETE FROM edit WHERE id = ?', last.id);
      else this.database.run('UPDATE edit SET delta = ?, at_ms = ? WHERE id = ?', JSON.stringify(both), now, last.id);
      return;
    }
    this.database.run(
      'INSERT INTO edit (ink, what, same, delta, at_ms, undone) VALUES (?, ?, ?, ?, ?, 0)',
      ink,
      what,
      same,
      JSON.stringify(delta),
      now,
    );
  }

  /** Another window may have been quicker: refused only when what is edited has changed or gone since. */
  private refuseStale(ink: number, edit: Edit, seen: number): void {
    const changed = touched(edit).find(({ table, id }) => {
      const row = this.database
        .all<{ revision: number }>(`SELECT revision FROM ${table} WHERE ink = ? AND id = ?`, ink, id)
        .at(0);
      return row ? row.revision > seen : seen < this.shelf.ink(ink).revision;
    });
    if (!changed) return;
    throw new LibraryError(
      'changed-elsewhere',
      `${changed.table} “${changed.id}” has been changed in another window meanwhile; expected it as it was here. Look at it and do it again.`,
    );
  }
}

function touched(edit: Edit): { table: 'region' | 'scan'; id: string }[] {
  switch (edit.edit) {
    case 'changeRegion':
      return [{ table: 'region', id: edit.id }];
    case 'removeRegions':
      return edit.ids.map((id) => ({ table: 'region', id }));
    case 'changeScan':
    case 'removeScan':
      return [{ table: 'scan', id: edit.id }];
    default:
      return [];
  }
}
