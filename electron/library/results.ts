/** What was measured: calibrations, findings with their trace, results by what they were made from, settings. */
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import type { Quantity, QuantityName } from '../../analysis/quantity.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { LocatedBy } from '../jobs/tasks.ts';
import type { ScannerIdentity } from '../scans/scannerIdentity.ts';
import type { ScanInfo } from '../scans/scanInfo.ts';
import type { RegionProblem } from '../sheet/loadedSheet.ts';
import type { Database } from './database.ts';

export interface SavedCalibration {
  readonly scanHash: string;
  readonly layoutHash: string;
  readonly referenceHash: string;
  readonly pointsPx: readonly Point[];
  readonly calibration: Calibration;
  /** Of the white sheet's scan; null: none. */
  readonly whiteHash: string | null;
  /** Null: kept by a version that did not know it. */
  readonly about: CalibrationAbout | null;
  /** ISO 8601. */
  readonly madeAt: string;
}

/** What else is known of a calibration, for its report card and for holding later ones against it. */
export interface CalibrationAbout {
  readonly located: LocatedBy;
  readonly scannerBlurMm: number | null;
  readonly scanner: ScannerIdentity | null;
  /** As the file says it, local time. */
  readonly scannedAt: string | null;
  readonly kind: KindOfFile;
  readonly layoutName: string;
}
/** What the scanner's settings leave in a file; resolution aside, which changes no colour. */
export type KindOfFile = Pick<ScanInfo, 'bits' | 'format' | 'icc' | 'iccHash'>;

/** Another calibration than the one asked for, with the name that its target's scan came with. */
export interface OtherCalibration extends SavedCalibration {
  readonly key: string;
  readonly scanName: string;
  readonly about: CalibrationAbout;
}

export interface FindingTrace {
  /** Where its regions lie: scan id and the hash of that scan's file, region by region. */
  readonly scans: readonly { readonly id: string; readonly hash: string }[];
  /** Key of the first region's calibration; null: uncalibrated. */
  readonly calibration: string | null;
  /** ISO 8601. */
  readonly measuredAt: string;
  /** Of a number through the film: the other samples of its fit, and what each was measured from. */
  readonly fittedWith?: readonly { readonly region: string; readonly key: string }[];
}

export interface SavedFinding {
  /** Stable between runs: `shading(ef)`, `bandColour(fresh)#2`. */
  readonly key: string;
  readonly finding: Quantity;
  readonly trace: FindingTrace;
  /** Content keys of the regions that it was made from: whether it still belongs to how things are. */
  readonly regionKeys: readonly string[];
}

/** A finding as far as the shelf asks: what of, whether it still holds, and an ink's colour; any other value is null here. */
export interface FindingOutline {
  readonly finding: Pick<Quantity, 'quantity' | 'subject' | 'value'>;
  readonly trace: Pick<FindingTrace, 'fittedWith'>;
  readonly regionKeys: readonly string[];
}

export interface Run<F> {
  /** ISO 8601. */
  readonly measuredAt: string;
  readonly findings: readonly F[];
  readonly problems: readonly RegionProblem[];
}
export type SavedRun = Run<SavedFinding>;

export interface RememberedResult {
  /** Of all that it depends on. */
  readonly key: string;
  readonly kind: string;
  readonly bytes: Uint8Array;
}

/** Results above this are forgotten, oldest first: they can be measured again. */
const MOST_RESULT_BYTES = 1_000_000_000;
/** Some 50 kB each. */
const MOST_CALIBRATIONS = 8;

export class Results {
  private readonly database: Database;
  private readonly mostBytes: number;
  /** By their keys: a body is long, and one target may serve hundreds of inks. */
  private readonly judgements = new Map<string, Calibration['judgement']>();

  /** Of the ink that was asked for last: who edits one is told of it after every edit, and its findings stay. */
  private outlined: { readonly ink: number; readonly run: Run<FindingOutline> | null } | null = null;
  /** The same whole: a page of plots asks for each region's part of it. */
  private whole: { readonly ink: number; readonly run: SavedRun | null } | null = null;
  /** Those read last, by their keys: every picture and number that goes through one asks for it. */
  private readonly calibrations = new Map<string, SavedCalibration>();

  constructor(database: Database, mostBytes: number = MOST_RESULT_BYTES) {
    this.database = database;
    this.mostBytes = mostBytes;
  }

  recall(key: string): Uint8Array | null {
    return this.database.all<{ bytes: Uint8Array }>('SELECT bytes FROM result WHERE key = ?', key).at(0)?.bytes ?? null;
  }

  remember(key: string, kind: string, bytes: Uint8Array): void {
    this.rememberAll([{ key, kind, bytes }]);
  }

  rememberAll(results: readonly RememberedResult[]): void {
    this.database.wholeFlushedLater(() => {
      for (const { key, kind, bytes } of results) {
        this.database.run('INSERT OR REPLACE INTO result (key, kind, bytes) VALUES (?, ?, ?)', key, kind, bytes);
      }
      this.database.run(
        `DELETE FROM result WHERE id IN (
           SELECT id FROM (SELECT id, sum(length(bytes)) OVER (ORDER BY id DESC) AS until FROM result) WHERE until > ?)`,
        this.mostBytes,
      );
    });
  }

  saveCalibration(key: string, row: SavedCalibration): void {
    this.judgements.delete(key);
    this.calibrations.delete(key);
    this.database.run(
      `INSERT OR REPLACE INTO calibration
         (key, scan_hash, layout_hash, reference_hash, points_px, body, white_hash, about, made_at)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
      key,
      row.scanHash,
      row.layoutHash,
      row.referenceHash,
      JSON.stringify(row.pointsPx),
      JSON.stringify(row.calibration),
      row.whiteHash,
      row.about && JSON.stringify(row.about),
      row.madeAt,
    );
  }

  calibration(key: string): SavedCalibration | null {
    const known = this.calibrations.get(key);
    if (known) return known;
    const row = this.database.all<CalibrationRow>(`SELECT ${CALIBRATION} FROM calibration WHERE key = ?`, key).at(0);
    if (!row) return null;
    const saved = savedCalibration(row);
    this.calibrations.set(key, saved);
    for (const oldest of [...this.calibrations.keys()].slice(0, -MOST_CALIBRATIONS)) this.calibrations.delete(oldest);
    return saved;
  }

  /** The judgement of a calibration alone; null: it is not made yet. */
  judgement(key: string): Calibration['judgement'] | null {
    const known = this.judgements.get(key);
    if (known) return known;
    const [row] = this.database.all<{ judgement: Calibration['judgement'] }>(
      `SELECT body ->> '$.judgement' AS judgement FROM calibration WHERE key = ?`,
      key,
    );
    if (!row) return null;
    this.judgements.set(key, row.judgement);
    return row.judgement;
  }

  /** Those of other scans, in the order in which they were made; only of those wanted the whole is read. */
  calibrationsBeside(
    scanHash: string,
    wanted: (other: Pick<OtherCalibration, 'key' | 'about' | 'madeAt'>) => boolean,
  ): OtherCalibration[] {
    const others = this.database.all<{ key: string; about: string; madeAt: string }>(
      `SELECT key, about, made_at AS madeAt FROM calibration WHERE scan_hash <> ? AND about IS NOT NULL ORDER BY made_at, key`,
      scanHash,
    );
    return others.flatMap(({ key, about, madeAt }): OtherCalibration[] => {
      const said: CalibrationAbout = JSON.parse(about);
      if (!wanted({ key, about: said, madeAt })) return [];
      const [row] = this.database.all<CalibrationRow & { scanName: string }>(
        `SELECT ${CALIBRATION}, (SELECT name FROM file WHERE hash = scan_hash) AS scanName FROM calibration WHERE key = ?`,
        key,
      );
      return row ? [{ key, scanName: row.scanName, ...savedCalibration(row), about: said }] : [];
    });
  }

  /** In place of what was found before. */
  saveRun(ink: number, { measuredAt, findings, problems }: SavedRun): void {
    this.outlined = null;
    this.whole = null;
    this.database.run(
      `INSERT INTO run (ink, measured_at, problems) VALUES (?, ?, ?)
       ON CONFLICT (ink) DO UPDATE SET measured_at = excluded.measured_at, problems = excluded.problems`,
      ink,
      measuredAt,
      JSON.stringify(problems),
    );
    this.database.run('DELETE FROM finding WHERE ink = ?', ink);
    this.database.run(
      `INSERT INTO finding (ink, key, place, body, trace, region_keys)
       SELECT ?, value ->> '$.key', key, value -> '$.finding', value -> '$.trace', value -> '$.regionKeys' FROM json_each(?)`,
      ink,
      JSON.stringify(findings),
    );
  }

  /** Null: never measured. */
  run(ink: number): SavedRun | null {
    if (this.whole?.ink !== ink) this.whole = { ink, run: this.runWith(ink, () => this.findings(ink)) };
    return this.whole.run;
  }

  /** The same without its curves and whatever else is long: bodies are not read whole. */
  outline(ink: number): Run<FindingOutline> | null {
    if (this.outlined?.ink !== ink) this.outlined = { ink, run: this.readOutline(ink) };
    return this.outlined.run;
  }

  /** First ids of all regions that the last run tells of. */
  measured(ink: number): ReadonlySet<string> {
    const { findings = [], problems = [] } = this.outline(ink) ?? {};
    return new Set([
      ...findings.flatMap(({ finding }) => finding.subject.regions),
      ...problems.map(({ region }) => region),
    ]);
  }

  private readOutline(ink: number): Run<FindingOutline> | null {
    return this.runWith(ink, () =>
      this.database
        .all<OutlineRow>(
          `SELECT quantity, body -> '$.subject' AS subject, region_keys AS keys, trace -> '$.fittedWith' AS fittedWith,
             CASE quantity WHEN 'inkColour' THEN body -> '$.value' END AS value
           FROM finding WHERE ink = ? ORDER BY place`,
          ink,
        )
        .map(({ quantity, subject, value, keys, fittedWith }): FindingOutline => ({
          finding: { quantity, subject: JSON.parse(subject), value: value === null ? null : JSON.parse(value) },
          trace: fittedWith === null ? {} : { fittedWith: JSON.parse(fittedWith) },
          regionKeys: JSON.parse(keys),
        })),
    );
  }

  private runWith<F>(ink: number, findings: () => F[]): Run<F> | null {
    const run = this.database
      .all<{ measured_at: string; problems: string }>('SELECT * FROM run WHERE ink = ?', ink)
      .at(0);
    return run ? { measuredAt: run.measured_at, findings: findings(), problems: JSON.parse(run.problems) } : null;
  }

  private findings(ink: number): SavedFinding[] {
    const rows = this.database.all<{ key: string; body: string; trace: string; region_keys: string }>(
      'SELECT key, body, trace, region_keys FROM finding WHERE ink = ? ORDER BY place',
      ink,
    );
    return rows.map(({ key, body, trace, region_keys }) => ({
      key,
      finding: JSON.parse(body),
      trace: JSON.parse(trace),
      regionKeys: JSON.parse(region_keys),
    }));
  }

  setting(name: string): unknown {
    const row = this.database.all<{ value: string }>('SELECT value FROM setting WHERE name = ?', name).at(0);
    const value: unknown = row ? JSON.parse(row.value) : null;
    return value;
  }

  setSetting(name: string, value: unknown): void {
    this.database.run('INSERT OR REPLACE INTO setting (name, value) VALUES (?, ?)', name, JSON.stringify(value));
  }
}

interface OutlineRow {
  readonly quantity: QuantityName;
  readonly subject: string;
  readonly keys: string;
  readonly fittedWith: string | null;
  readonly value: string | null;
}

const CALIBRATION =
  'scan_hash AS scanHash, layout_hash AS layoutHash, reference_hash AS referenceHash, points_px AS points, body, ' +
  'white_hash AS whiteHash, about, made_at AS madeAt';

interface CalibrationRow {
  readonly scanHash: string;
  readonly layoutHash: string;
  readonly referenceHash: string;
  readonly points: string;
  readonly body: string;
  readonly whiteHash: string | null;
  readonly about: string | null;
  readonly madeAt: string;
}

function savedCalibration({ scanHash, layoutHash, referenceHash, whiteHash, madeAt, ...row }: CalibrationRow) {
  const saved: SavedCalibration = {
    scanHash,
    layoutHash,
    referenceHash,
    pointsPx: JSON.parse(row.points),
    calibration: JSON.parse(row.body),
    whiteHash,
    about: row.about === null ? null : JSON.parse(row.about),
    madeAt,
  };
  return saved;
}
