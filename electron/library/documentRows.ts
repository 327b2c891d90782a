/** A document as rows, and back. Only rows that changed are written and take the new revision. */
import type { Database } from './database.ts';
import type { DocumentScan, DocumentTarget, InkDocument } from './document.ts';
import type { DocumentRegion } from './firstId.ts';

interface Body {
  readonly body: string;
}
interface NamesRow {
  readonly name: string;
  readonly maker: string | null;
  readonly claim: string | null;
  readonly bench: string | null;
}

/** Null: no such ink. */
export function readDocument(database: Database, ink: number): InkDocument | null {
  const names = database.all<NamesRow>('SELECT name, maker, claim, bench FROM ink WHERE id = ?', ink).at(0);
  if (!names) return null;
  const bodies = (table: 'scan' | 'region') =>
    database.all<Body>(`SELECT body FROM ${table} WHERE ink = ? ORDER BY place`, ink);
  const targets = new Map(
    database
      .all<Body & { serves: string }>('SELECT serves, body FROM target WHERE ink = ?', ink)
      .map(({ serves, body }): [string, DocumentTarget] => [serves, JSON.parse(body)]),
  );
  const all = targets.get('all');
  return {
    ink: {
      name: names.name,
      ...(names.maker !== null && { maker: names.maker }),
      ...(names.claim !== null && { claim: names.claim }),
    },
    ...(all && { target: all }),
    scans: bodies('scan').map(({ body }): DocumentScan => {
      const scan: DocumentScan = JSON.parse(body);
      const target = targets.get(scan.id);
      return target ? { ...scan, target } : scan;
    }),
    regions: bodies('region').map(({ body }): DocumentRegion => JSON.parse(body)),
    ...(names.bench !== null && { bench: JSON.parse(names.bench) }),
  };
}

/** Within a transaction: links between rows are checked at its end. */
export function writeDocument(database: Database, ink: number, document: InkDocument, revision: number): void {
  const { target, scans, regions, bench } = document;
  rememberNames(database, document);
  database.run(
    'UPDATE ink SET name = ?, maker = ?, claim = ?, bench = ? WHERE id = ?',
    document.ink.name,
    document.ink.maker ?? null,
    document.ink.claim ?? null,
    bench ? JSON.stringify(bench) : null,
    ink,
  );
  const targets = [
    ...(target ? [{ serves: 'all', target }] : []),
    ...scans.flatMap((scan) => (scan.target ? [{ serves: scan.id, target: scan.target }] : [])),
  ];
  writeTargets(database, ink, targets);
  writeList(database, 'scan', ink, scans.map(withoutTarget), revision);
  writeList(database, 'region', ink, regions, revision);
}

function writeList(
  database: Database,
  table: 'scan' | 'region',
  ink: number,
  things: readonly { readonly id: string }[],
  revision: number,
): void {
  const list = JSON.stringify(things);
  database.run(
    `DELETE FROM ${table} WHERE ink = ? AND id NOT IN (SELECT value ->> '$.id' FROM json_each(?))`,
    ink,
    list,
  );
  database.run(
    `INSERT INTO ${table} (ink, id, place, body, revision) SELECT ?, value ->> '$.id', key, value, ? FROM json_each(?) WHERE true
     ON CONFLICT (ink, id) DO UPDATE SET
       place = excluded.place, body = excluded.body,
       revision = CASE WHEN body = excluded.body THEN revision ELSE excluded.revision END
     WHERE body <> excluded.body OR place <> excluded.place`,
    ink,
    revision,
    list,
  );
}

function writeTargets(
  database: Database,
  ink: number,
  targets: readonly { readonly serves: string; readonly target: DocumentTarget }[],
): void {
  const list = JSON.stringify(targets);
  database.run(
    `DELETE FROM target WHERE ink = ? AND serves NOT IN (SELECT value ->> '$.serves' FROM json_each(?))`,
    ink,
    list,
  );
  database.run(
    `INSERT INTO target (ink, serves, body) SELECT ?, value ->> '$.serves', value -> '$.target' FROM json_each(?) WHERE true
     ON CONFLICT (ink, serves) DO UPDATE SET body = excluded.body WHERE body <> excluded.body`,
    ink,
    list,
  );
}

function withoutTarget(scan: DocumentScan): DocumentScan {
  const { target: _, ...rest } = scan;
  return rest;
}

/** Papers and nibs come to be known by being named; the last width said of a nib is the one suggested. */
function rememberNames(database: Database, { scans, regions }: InkDocument): void {
  const papers = [...scans, ...regions].flatMap(({ paper }) => (paper === undefined ? [] : [paper]));
  database.run(
    'INSERT INTO paper (name) SELECT value FROM json_each(?) WHERE true ON CONFLICT DO NOTHING',
    JSON.stringify(papers),
  );
  const nibs = regions.flatMap((region) =>
    'nib' in region && region.nib !== undefined ? [{ name: region.nib, width: region.nibWidthMm ?? null }] : [],
  );
  database.run(
    `INSERT INTO nib (name, width_mm) SELECT value ->> '$.name', value ->> '$.width' FROM json_each(?) WHERE true
     ON CONFLICT (name) DO UPDATE SET width_mm = excluded.width_mm WHERE excluded.width_mm IS NOT NULL`,
    JSON.stringify(nibs),
  );
}
