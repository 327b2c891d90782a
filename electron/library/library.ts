/** The person's inks with their scans, work and findings: one folder, one program at a time, nothing acknowledged is lost. */
import { join, resolve } from 'node:path';
import type { TargetLayout } from '../../analysis/calibrate/calibration.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import { Answered } from './answered.ts';
import { FindingsAsCalled, findingAsCalled, outlineAsCalled } from './findingsAsCalled.ts';
import type { Named } from './asNowCalled.ts';
import { Database } from './database.ts';
import type { Edit, InkDocument } from './document.ts';
import { FileStore } from './fileStore.ts';
import { History } from './history.ts';
import type { EditBy, Kept, StepBy, StepWords } from './history.ts';
import { InkShelf } from './inkShelf.ts';
import type { InkRow } from './inkShelf.ts';
import { storageFault } from './libraryError.ts';
import { Lock } from './lock.ts';
import { makeFolder } from './makeFolder.ts';
import { migrate } from './migrate.ts';
import { Results } from './results.ts';
import type { FindingOutline, OtherCalibration, Run, SavedCalibration, SavedRun } from './results.ts';
import type { AddedFile, StoredFile } from './storedFile.ts';
import { TargetTexts } from './targetTexts.ts';
import type { NamedReference } from './targetTexts.ts';

/** `ink` null: the shelf as a whole. */
export interface LibraryChange {
  readonly ink: number | null;
  /** Of the ink; 0 for the shelf. */
  readonly revision: number;
  readonly by: 'edit' | 'findings' | 'shelf';
}

export interface LibraryOptions {
  /** Milliseconds since 1970. @default Date.now */
  readonly now?: () => number;
}

export interface MadeBy {
  /** Its scans were rendered, nobody wrote them. @default false */
  readonly invented?: boolean;
  /** Names the request: sent once more, it makes no second ink. */
  readonly request?: string | null;
}

export class Library {
  /** Absolute. */
  readonly folder: string;
  private readonly lock: Lock;
  private readonly database: Database;
  private readonly files: FileStore;
  private readonly targetTexts: TargetTexts;
  private readonly shelf: InkShelf;
  private readonly answered: Answered;
  private readonly work: History;
  private readonly results: Results;
  private readonly findingsAsCalled = new FindingsAsCalled(findingAsCalled);
  private readonly outlineAsCalled = new FindingsAsCalled(outlineAsCalled);
  private readonly listeners = new Set<(change: LibraryChange) => void>();

  private constructor(folder: string, lock: Lock, database: Database, now: () => number) {
    this.folder = folder;
    this.lock = lock;
    this.database = database;
    this.files = new FileStore(folder, database, now);
    this.targetTexts = new TargetTexts(this.files);
    this.shelf = new InkShelf(database, now);
    this.answered = new Answered(database, now);
    this.work = new History(
      database,
      this.shelf,
      this.answered,
      (of) => ({
        scan: (hash) => this.files.file(hash)?.info ?? null,
        layout: (hash) => this.targetTexts.layout(hash),
        reference: (hash) => this.targetTexts.reference(hash),
        measured: () => this.results.measured(of),
      }),
      now,
    );
    this.results = new Results(database);
  }

  /** Makes the folder when there is none. @throws LibraryError in one line: 'library-in-use' (with `url`), 'library-newer', 'library-no-folder', … */
  static open(folder: string, { now = Date.now }: LibraryOptions = {}): Library {
    const place = resolve(folder);
    let lock: Lock | null = null;
    let database: Database | null = null;
    try {
      makeFolder(place);
      lock = Lock.take(place);
      const file = join(place, 'library.db');
      database = new Database(file);
      migrate(database, file);
      return new Library(place, lock, database, now);
    } catch (error) {
      database?.close();
      lock?.release();
      throw storageFault(error, `the library in ${place}`);
    }
  }

  /** Called after every committed change; a listener must not throw. Returns the way to stop it. */
  onChange(listener: (change: LibraryChange) => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  /** Says where the window is, for a second program that finds the library in use. */
  announce({ url }: { readonly url: string }): void {
    this.lock.announce(url);
  }

  /** Where the window of a program was that was killed with the library open; null: none was. */
  get leftAt(): string | null {
    return this.lock.leftAt;
  }

  close(): void {
    this.database.close();
    this.lock.release();
  }

  // Files

  /** Whatever it is: into the store by content, or kept out with its `problem`. @throws LibraryError 'disk-full', … */
  addFile(bytes: AsyncIterable<Uint8Array>, name: string): Promise<AddedFile> {
    return this.files.add(bytes, name);
  }

  addFileFrom(path: string): Promise<AddedFile> {
    return this.files.addFrom(path);
  }

  file(hash: string): StoredFile | null {
    return this.files.file(hash);
  }

  /** Null when sound; a line when the stored file is gone or has another length. */
  fileProblem(hash: string): string | null {
    return this.files.problem(hash);
  }

  /** Scans whose facts another version of the program found. */
  scansReadByOthers(): string[] {
    return this.files.readByOthers();
  }

  /** Inks with a scan that turns out to be something else get another revision. */
  async readScanAnew(hash: string): Promise<void> {
    if (!(await this.files.readAnew(hash))) return;
    for (const ink of this.shelf.withScan(hash)) {
      this.changed({ ink, revision: this.shelf.advance(ink), by: 'findings' });
    }
  }

  /** @throws LibraryError 'no-such-file' */
  text(hash: string): string {
    return this.files.text(hash);
  }

  /** Layouts and references that came in, newest first. */
  targetFiles(): ReturnType<FileStore['targetFiles']> {
    return this.files.targetFiles();
  }

  /** Null: no layout of this content is here. @throws LibraryError 'no-such-file' when its file is gone from the store. */
  layout(hash: string): TargetLayout | null {
    return this.targetTexts.layout(hash);
  }

  /** Null: no reference of this content is here. @throws LibraryError 'no-such-file' when its file is gone from the store. */
  reference(hash: string): NamedReference | null {
    return this.targetTexts.reference(hash);
  }

  /** A message with the store's paths replaced by the names that the person knows. */
  named(message: string): string {
    return this.files.named(message);
  }

  // Inks

  /** Those not removed, the one last worked on first. */
  inks(): InkRow[] {
    return this.shelf.inks();
  }

  /** Those that `removeInk` took off, the last first. */
  removedInks(): ReturnType<InkShelf['removed']> {
    return this.shelf.removed();
  }

  createInk({ name, maker }: { name: string; maker: string | null }, by: MadeBy = {}): number {
    return this.make(by, (invented) => this.shelf.create(name, maker, invented));
  }

  /** An ink with its work from the start: nothing of it is a step of undo. */
  createWork(document: InkDocument, by: MadeBy = {}): number {
    return this.make(by, (invented) => {
      const ink = this.shelf.create(document.ink.name, document.ink.maker ?? null, invented);
      this.work.begin(ink, document);
      return ink;
    });
  }

  /** Off the shelf, with all kept for `restoreInk`. */
  removeInk(id: number): void {
    this.shelf.remove(id);
    this.changed({ ink: null, revision: 0, by: 'shelf' });
  }

  restoreInk(id: number): void {
    this.shelf.restore(id);
    this.changed({ ink: null, revision: 0, by: 'shelf' });
  }

  /** What is said beside the shelf is another: whoever shows it asks again. */
  lookAgain(): void {
    this.changed({ ink: null, revision: 0, by: 'shelf' });
  }

  papers(): { name: string; lab: LabValue | null }[] {
    return this.shelf.papers();
  }

  nibs(): { name: string; widthMm: number | null }[] {
    return this.shelf.nibs();
  }

  // Work

  document(ink: number): InkDocument {
    return this.work.document(ink);
  }

  revision(ink: number): number {
    return this.shelf.ink(ink).revision;
  }

  /**
   * Checked, done and kept as one step of undo, or nothing at all.
   * @returns what another window had changed and this overtook, in words; null: nothing. @throws LibraryError
   */
  edit(ink: number, edit: Edit, by: EditBy = {}): string | null {
    return this.kept(ink, this.work.edit(ink, edit, by));
  }

  /** What was undone, in words; null: nothing was left to undo. @throws LibraryError 'changed-elsewhere' */
  undo(ink: number, by: StepBy = {}): string | null {
    return this.kept(ink, this.work.undo(ink, by));
  }

  /** What was done again, in words; null: nothing was left to do again. @throws LibraryError 'changed-elsewhere' */
  redo(ink: number, by: StepBy = {}): string | null {
    return this.kept(ink, this.work.redo(ink, by));
  }

  /** What bears this name, or bore it before it was renamed; the same where nothing did. */
  nameNow(ink: number, what: Named, name: string): string {
    return this.work.nameNow(ink, what, name);
  }

  history(ink: number): StepWords {
    return this.work.words(ink);
  }

  // Results

  recall(key: string): Uint8Array | null {
    return this.results.recall(key);
  }

  remember(key: string, kind: string, bytes: Uint8Array): void {
    this.results.remember(key, kind, bytes);
  }

  /** All of it in one commit. */
  rememberAll(results: Parameters<Results['rememberAll']>[0]): void {
    this.results.rememberAll(results);
  }

  /** Inks whose target it is of show other colours from now on: their revision grows. */
  saveCalibration(key: string, row: SavedCalibration): void {
    const changes = this.database.whole(() => {
      this.results.saveCalibration(key, row);
      const inks = this.shelf.withTarget(row.scanHash, row.layoutHash, row.referenceHash);
      return inks.map((ink) => ({ ink, revision: this.shelf.advance(ink), by: 'findings' as const }));
    });
    for (const change of changes) this.changed(change);
  }

  calibration(key: string): SavedCalibration | null {
    return this.results.calibration(key);
  }

  /** Of a calibration; null: it is not made yet. */
  judgement(key: string): ReturnType<Results['judgement']> {
    return this.results.judgement(key);
  }

  /** Calibrations of other scans than this one that are wanted, in the order in which they were made. */
  calibrationsBeside(...asked: Parameters<Results['calibrationsBeside']>): OtherCalibration[] {
    return this.results.calibrationsBeside(...asked);
  }

  /** In place of what was found of this ink before; regions by the ids that they came with. */
  saveRun(ink: number, run: SavedRun): void {
    const revision = this.database.whole(() => {
      this.results.saveRun(ink, run);
      return this.shelf.advance(ink);
    });
    this.changed({ ink, revision, by: 'findings' });
  }

  /** Null: never measured. */
  findings(ink: number): SavedRun | null {
    return this.findingsAsCalled.told(this.results.run(ink), this.revision(ink), () => this.document(ink).regions);
  }

  /** The same under the ids that regions came with, as `saveRun` takes it. */
  findingsByFirstIds(ink: number): SavedRun | null {
    return this.results.run(ink);
  }

  /** The same as far as a card tells of it: a tenth of the work. */
  findingsInOutline(ink: number): Run<FindingOutline> | null {
    const outline = this.results.outline(ink);
    return this.outlineAsCalled.told(outline, this.revision(ink), () => this.document(ink).regions);
  }

  /** Null: never set. */
  setting(name: string): unknown {
    return this.results.setting(name);
  }

  setSetting(name: string, value: unknown): void {
    this.results.setSetting(name, value);
  }

  private make({ invented = false, request = null }: MadeBy, make: (invented: boolean) => number): number {
    const id = Number(this.answered.once(request, () => String(make(invented))));
    this.changed({ ink: null, revision: 0, by: 'shelf' });
    return id;
  }

  private kept(ink: number, { revision, said }: Kept): string | null {
    if (revision !== null) this.changed({ ink, revision, by: 'edit' });
    return said;
  }

  private changed(change: LibraryChange): void {
    for (const listener of this.listeners) listener(change);
  }
}
