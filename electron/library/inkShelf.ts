/** The inks of a library: made, put away, taken back; and what papers and nibs their work names. */
import type { LabValue } from '../../analysis/quantity.ts';
import type { Database } from './database.ts';
import { LibraryError } from './libraryError.ts';

export interface InkRow {
  readonly id: number;
  readonly name: string;
  readonly maker: string | null;
  readonly invented: boolean;
  /** ISO 8601. */
  readonly changedAt: string;
  readonly revision: number;
}

const COLUMNS = 'id, name, maker, invented, changed_at AS changedAt, revision';

type Stored = Omit<InkRow, 'invented'> & { readonly invented: 0 | 1 };

export class InkShelf {
  private readonly database: Database;
  private readonly now: () => number;

  constructor(database: Database, now: () => number) {
    this.database = database;
    this.now = now;
  }

  /** Those not removed, the one last worked on first. */
  inks(): InkRow[] {
    return this.database
      .all<Stored>(`SELECT ${COLUMNS} FROM ink WHERE removed_at IS NULL ORDER BY changed_at DESC, id DESC`)
      .map((row) => ({ ...row, invented: row.invented === 1 }));
  }

  /** Those that were taken off, the last first. */
  removed(): { id: number; name: string; maker: string | null; removedAt: string }[] {
    return this.database.all(
      `SELECT id, name, maker, removed_at AS removedAt FROM ink WHERE removed_at IS NOT NULL
       ORDER BY removed_at DESC, id DESC`,
    );
  }

  /** @throws LibraryError 'no-such-ink' when there is none or it is removed. */
  ink(id: number): InkRow {
    const row = this.database.all<Stored>(`SELECT ${COLUMNS} FROM ink WHERE id = ? AND removed_at IS NULL`, id).at(0);
    if (row) return { ...row, invented: row.invented === 1 };
    throw new LibraryError(
      'no-such-ink',
      `no ink ${id} on the shelf; expected one that is there. It may have been removed.`,
    );
  }

  create(name: string, maker: string | null, invented: boolean): number {
    const plain = name.trim();
    if (plain === '') throw new LibraryError('ink-unnamed', 'the ink has no name; expected one. Type it.');
    const plainMaker = maker?.trim() ?? '';
    return this.database.run(
      'INSERT INTO ink (name, maker, invented, revision, changed_at) VALUES (?, ?, ?, 1, ?)',
      plain,
      plainMaker === '' ? null : plainMaker,
      invented ? 1 : 0,
      this.timestamp(),
    ).lastId;
  }

  remove(id: number): void {
    this.ink(id);
    this.database.run('UPDATE ink SET removed_at = ?, revision = revision + 1 WHERE id = ?', this.timestamp(), id);
  }

  restore(id: number): void {
    const { changes } = this.database.run('UPDATE ink SET removed_at = NULL, revision = revision + 1 WHERE id = ?', id);
    if (changes === 0)
      throw new LibraryError('no-such-ink', `no ink ${id} was ever on the shelf; expected one that was.`);
  }

  /** The next revision of an ink, counted and dated. */
  advance(id: number): number {
    this.database.run('UPDATE ink SET revision = revision + 1, changed_at = ? WHERE id = ?', this.timestamp(), id);
    return this.ink(id).revision;
  }

  /** Inks on the shelf with a scan of this content. */
  withScan(hash: string): number[] {
    return this.database
      .all<{ ink: number }>(
        `SELECT DISTINCT ink FROM scan JOIN ink ON ink.id = scan.ink WHERE hash = ? AND removed_at IS NULL`,
        hash,
      )
      .map(({ ink }) => ink);
  }

  /** Inks on the shelf with a target of these files. */
  withTarget(scanHash: string, layoutHash: string, referenceHash: string): number[] {
    return this.database
      .all<{ ink: number }>(
        `SELECT DISTINCT target.ink AS ink FROM target
         JOIN scan ON scan.ink = target.ink AND scan.id = target.scan JOIN ink ON ink.id = target.ink
         WHERE scan.hash = ? AND layout = ? AND reference = ? AND removed_at IS NULL`,
        scanHash,
        layoutHash,
        referenceHash,
      )
      .map(({ ink }) => ink);
  }

  /** Papers that the inks' work names, with the colour of bare paper where it was measured. */
  papers(): { name: string; lab: LabValue | null }[] {
    const names = this.database.all<{ name: string }>(
      `SELECT paper AS name FROM scan JOIN ink ON ink.id = ink WHERE paper IS NOT NULL AND removed_at IS NULL
       UNION SELECT paper FROM region JOIN ink ON ink.id = ink WHERE paper IS NOT NULL AND removed_at IS NULL
       ORDER BY name`,
    );
    const bare = this.barePapers();
    return names.map(({ name }) => ({ name, lab: bare.get(name) ?? null }));
  }

  /** Nibs that the inks' work names, each as wide as it was said last; an invented ink's pen is nobody's. */
  nibs(): { name: string; widthMm: number | null }[] {
    // The other columns are of the row that has the greatest (sqlite.org/lang_select.html, bare columns in an aggregate).
    return this.database
      .all<{ name: string; widthMm: number | null }>(
        `SELECT nib AS name, iif(invented, NULL, body ->> '$.nibWidthMm') AS widthMm,
           max(iif(invented OR body ->> '$.nibWidthMm' IS NULL, '', changed_at || printf(' %012d', region.revision)))
         FROM region JOIN ink ON ink.id = ink WHERE nib IS NOT NULL AND removed_at IS NULL
         GROUP BY nib ORDER BY widthMm IS NULL, widthMm, name`,
      )
      .map(({ name, widthMm }) => ({ name, widthMm }));
  }

  /** By paper: as it was measured last. */
  private barePapers(): ReadonlyMap<string, LabValue> {
    // The other columns are of the row that has the greatest (sqlite.org/lang_select.html, bare columns in an aggregate).
    const rows = this.database.all<{ paper: string; value: string }>(
      `SELECT coalesce(region.paper, scan.paper) AS paper, finding.body -> '$.value' AS value, max(run.measured_at)
       FROM finding JOIN ink ON ink.id = finding.ink JOIN run ON run.ink = ink.id
       JOIN region ON region.ink = ink.id AND region.id = finding.body ->> '$.subject.regions[0]'
       JOIN scan ON scan.ink = ink.id AND scan.id = region.scan
       WHERE finding.quantity = 'paperColour' AND removed_at IS NULL AND json_type(finding.body, '$.value') = 'array'
         AND coalesce(region.paper, scan.paper) IS NOT NULL
       GROUP BY 1`,
    );
    return new Map(rows.map(({ paper, value }): [string, LabValue] => [paper, JSON.parse(value)]));
  }

  private timestamp(): string {
    return new Date(this.now()).toISOString();
  }
}
