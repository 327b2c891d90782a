/** Edits of an ink's work, each a step that can be taken back and done again, also after a restart. */
import type { Answered, NextSteps } from './answered.ts';
import { applyEdit } from './applyEdit.ts';
import type { DocumentFacts, Edited } from './applyEdit.ts';
import { asNowCalled, type Named } from './asNowCalled.ts';
import type { Database } from './database.ts';
import type { Edit, InkDocument } from './document.ts';
import { deltaBetween, redone, undone } from './documentDelta.ts';
import type { DocumentDelta } from './documentDelta.ts';
import { readDocument, writeDocument } from './documentRows.ts';
import type { InkShelf } from './inkShelf.ts';
import { LibraryError } from './libraryError.ts';
import { changedSinceSeen, type Removal } from './removedThough.ts';
import { nameNow } from './renamedSince.ts';

interface Step {
  readonly id: number;
  readonly what: string;
  readonly same: string | null;
  /** JSON of a `DocumentDelta`. */
  readonly delta: string;
  readonly at_ms: number;
}

/** What came of a request. */
export interface Kept {
  /** The ink's new one; null: nothing changed. */
  readonly revision: number | null;
  readonly said: string | null;
}

export interface EditBy {
  /** Revision of the work as the editor last saw it: what is removed though another window changed it since is told. */
  readonly seen?: number | null;
  /** Names the request: sent once more, it is carried out once. */
  readonly request?: string | null;
}

export interface StepBy {
  /** The step that is meant (`StepWords.steps`); refused when another window has done or undone something since. */
  readonly step?: number;
  /** Meant is the step as it was right after this request, where that was carried out: its answer was not there yet. */
  readonly after?: string | null;
  readonly request?: string | null;
}

/** What undo and redo would take back or do again: in words, and by number; null: nothing. */
export interface StepWords {
  readonly undo: string | null;
  readonly redo: string | null;
  readonly steps: NextSteps;
}

const NOTHING: Kept = { revision: null, said: null };
/** Steps that are looked through for another window's renames. */
const RECENT_STEPS = 500;

const MOST_NAMED = 4;

/** Moves of one region that follow each other within this are one step: nudging with the arrow keys. */
const AT_ONCE_MS = 1000;

export class History {
  private readonly database: Database;
  private readonly shelf: InkShelf;
  private readonly answered: Answered;
  private readonly factsOf: (ink: number) => DocumentFacts;
  private readonly now: () => number;

  constructor(
    database: Database,
    shelf: InkShelf,
    answered: Answered,
    factsOf: (ink: number) => DocumentFacts,
    now: () => number,
  ) {
    this.database = database;
    this.shelf = shelf;
    this.answered = answered;
    this.factsOf = factsOf;
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

  /** `said`: what another window had changed and this overtook, in words. @throws LibraryError */
  edit(ink: number, edit: Edit, { seen = null, request = null }: EditBy): Kept {
    return this.once(ink, request, () => {
      const document = this.document(ink);
      const named = asNowCalled(edit, document, () => this.deltas(ink));
      const there = seen === null ? named : ofWhatIsThere(named, document);
      const done = there && applyEdit(document, there, this.factsOf(ink));
      const delta = done && deltaBetween(document, done.document);
      if (!done || !delta) return NOTHING;
      const overtook = done.overtook ?? (seen === null ? null : this.removedThough(ink, there, seen, document));
      this.append(ink, document, done.document, delta, { ...done, overtook });
      const revision = this.shelf.advance(ink);
      writeDocument(this.database, ink, done.document, revision);
      return { revision, said: overtook };
    });
  }

  /** `said`: what was undone, in words; null: nothing is left to undo. @throws LibraryError 'changed-elsewhere' */
  undo(ink: number, by: StepBy = {}): Kept {
    return this.step(ink, 'undo', by);
  }

  redo(ink: number, by: StepBy = {}): Kept {
    return this.step(ink, 'redo', by);
  }

  /** What is called so, or was: for an address that was kept from before a rename. The same where nothing bears it or did. */
  nameNow(ink: number, what: Named, name: string): string {
    const document = this.document(ink);
    const isThere = (id: string): boolean => document[what].some((thing) => thing.id === id);
    return isThere(name) ? name : nameNow(this.deltas(ink), what, name, isThere);
  }

  words(ink: number): StepWords {
    this.shelf.ink(ink);
    const [undo, redo] = [this.next(ink, 'undo'), this.next(ink, 'redo')];
    return { undo: undo?.what ?? null, redo: redo?.what ?? null, steps: this.nextSteps(ink) };
  }

  private nextSteps(ink: number): NextSteps {
    return { undo: this.next(ink, 'undo')?.id ?? null, redo: this.next(ink, 'redo')?.id ?? null };
  }

  private step(ink: number, way: 'undo' | 'redo', { step: shown, after = null, request = null }: StepBy): Kept {
    return this.once(ink, request, () => {
      const document = this.document(ink);
      const step = this.next(ink, way);
      const left = after === null ? null : this.answered.stepsAfter(after);
      const meant = left ? left[way] : shown;
      if (meant !== undefined && (step?.id ?? null) !== meant) throw anotherStep(way, step?.what ?? null);
      if (!step) return NOTHING;
      const delta: DocumentDelta = JSON.parse(step.delta);
      const stepped = way === 'undo' ? undone(document, delta) : redone(document, delta);
      this.database.run('UPDATE edit SET undone = ? WHERE id = ?', way === 'undo' ? 1 : 0, step.id);
      const revision = this.shelf.advance(ink);
      writeDocument(this.database, ink, stepped, revision);
      return { revision, said: step.what };
    });
  }

  /** Carries out a request; one that was carried out before, and whose answer got lost, changes nothing a second time. */
  private once(ink: number, request: string | null, carryOut: () => Kept): Kept {
    let { revision } = NOTHING;
    const carriedOut = (): string | null => {
      const kept = carryOut();
      revision = kept.revision;
      return kept.said;
    };
    const said = this.answered.once(request, carriedOut, () => this.nextSteps(ink));
    return { revision, said };
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
    { what, same, overtook }: Edited,
  ): void {
    const now = this.now();
    const dropped = this.database.run('DELETE FROM edit WHERE ink = ? AND undone = 1', ink).changes;
    // Undo of what overtook another window's step brings that back: the two are never one step.
    const isOwn = dropped > 0 || same === null || overtook !== null;
    const last = isOwn ? undefined : this.next(ink, 'undo');
    if (last && last.same === same && Math.abs(now - last.at_ms) <= AT_ONCE_MS) {
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

  /** The steps that may have given things other names, the newest first. */
  private deltas(ink: number): DocumentDelta[] {
    return this.database
      .all<{ delta: string }>('SELECT delta FROM edit WHERE ink = ? ORDER BY id DESC LIMIT ?', ink, RECENT_STEPS)
      .map(({ delta }): DocumentDelta => JSON.parse(delta));
  }

  /** In words: that another window had changed what is removed, or what goes with it. */
  private removedThough(ink: number, edit: Edit, seen: number, document: InkDocument): string | null {
    if (edit.edit !== 'removeRegions' && edit.edit !== 'removeScan') return null;
    const changed = changedSinceSeen(edit, document) ?? this.changedSince(ink, edit, seen, document);
    if (changed.length === 0) return null;
    const [was, it, them] = changed.length === 1 ? ['was', 'it', 'it'] : ['were', 'they', 'them'];
    return `${listed(changed)} ${was} changed in another window just before ${it} ${was} removed here. Undo brings ${them} back as ${it} ${was} there.`;
  }

  /** By anybody, after that revision: what a window sends that was loaded before removals said what they were made from. */
  private changedSince(ink: number, edit: Removal, seen: number, { regions }: InkDocument): readonly string[] {
    const isChanged =
      (table: 'scan' | 'region') =>
      (id: string): boolean =>
        this.database.all(`SELECT 1 FROM ${table} WHERE ink = ? AND id = ? AND revision > ?`, ink, id, seen).length > 0;
    const scans = edit.edit === 'removeScan' ? [edit.id] : [];
    const ids =
      edit.edit === 'removeScan' ? regions.flatMap(({ id, scan }) => (scan === edit.id ? [id] : [])) : edit.ids;
    return [...scans.filter(isChanged('scan')), ...ids.filter(isChanged('region'))];
  }
}

/** The first few by name. */
function listed(ids: readonly string[]): string {
  const few = ids.slice(0, MOST_NAMED).map((id) => `“${id}”`);
  return [few.join(', '), ...(ids.length > MOST_NAMED ? [`and ${ids.length - MOST_NAMED} more`] : [])].join(' ');
}

function anotherStep(way: 'undo' | 'redo', what: string | null): LibraryError {
  const now =
    what === null
      ? `nothing is left to ${way}`
      : way === 'undo'
        ? `the last change is “${what}”`
        : `the next to do again is “${what}”`;
  return new LibraryError(
    'changed-elsewhere',
    `Another window was quicker: by now ${now}. Nothing was changed; look at it, and ${way} again if that is meant.`,
  );
}

/** What another window removed already need not be removed; null: nothing is left to do. */
function ofWhatIsThere(edit: Edit, document: InkDocument): Edit | null {
  if (edit.edit === 'removeScan') return document.scans.some(({ id }) => id === edit.id) ? edit : null;
  if (edit.edit !== 'removeRegions') return edit;
  const { ids: all, from } = edit;
  const isThere = (id: string): boolean => document.regions.some((region) => region.id === id);
  const ids = all.filter(isThere);
  if (ids.length === 0) return null;
  return { ...edit, ids, ...(from && { from: from.filter((_, i) => isThere(all[i])) }) };
}
