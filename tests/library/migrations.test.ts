import { DatabaseSync } from '@photostructure/sqlite';
import fs, { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { join } from 'node:path';
import { describe, expect, test, vi } from 'vitest';
import { Database } from '../../electron/library/database.ts';
import { Library } from '../../electron/library/library.ts';
import { migrate } from '../../electron/library/migrate.ts';
import { MIGRATIONS } from '../../electron/library/migrations/migrations.ts';
import { newFolder, openLibrary } from './smallLibrary.ts';

/** A library as the program of that version left it, with one ink that was worked on. */
function libraryOfVersion(version: number): string {
  const folder = newFolder();
  const file = join(folder, 'library.db');
  const database = new Database(file);
  migrate(database, file, MIGRATIONS.slice(0, version));
  const hash = 'a'.repeat(64);
  database.run(
    `INSERT INTO file (hash, kind, name, ending, bytes, about, added_at) VALUES (?, 'scan', 'white.png', 'png', 9, ?, '2026-01-01')`,
    hash,
    JSON.stringify({ info: { widthPx: 400, heightPx: 300, dpi: 254 } }),
  );
  database.run(
    `INSERT INTO ink (name, maker, invented, revision, changed_at) VALUES ('Old Ink', NULL, 0, 7, '2026-01-01T00:00:00.000Z')`,
  );
  database.run(`INSERT INTO nib (name, width_mm) VALUES ('EF', 0.4)`);
  database.run(
    'INSERT INTO scan (ink, id, place, body, revision) VALUES (1, ?, 0, ?, 1)',
    'white',
    JSON.stringify({ id: 'white', hash, name: 'white.png' }),
  );
  const region = { id: 'ef', scan: 'white', kind: 'strokes', nib: 'EF', boxMm: [0.1, 0.2, 10, 10] };
  database.run(
    'INSERT INTO region (ink, id, place, body, revision) VALUES (1, ?, 0, ?, 7)',
    'ef',
    JSON.stringify(region),
  );
  const delta = { regions: { at: 0, before: [], after: [region] } };
  database.run(
    `INSERT INTO edit (ink, what, same, delta, at_ms, undone) VALUES (1, 'add region “ef”', NULL, ?, 0, 0)`,
    JSON.stringify(delta),
  );
  database.close();
  return folder;
}
const versionOf = (file: string): unknown => {
  const database = new DatabaseSync(file);
  const found: { user_version: number } = database.prepare('PRAGMA user_version').get();
  database.close();
  return found.user_version;
};

describe.each(MIGRATIONS.map((_, i) => i + 1))('a library of schema %i', (version) => {
  test('opens with all that was in it, and can do all of today', () => {
    const folder = libraryOfVersion(version);
    const library = openLibrary(folder);
    expect(library.document(1)).toEqual({
      ink: { name: 'Old Ink' },
      scans: [{ id: 'white', hash: 'a'.repeat(64), name: 'white.png' }],
      regions: [{ id: 'ef', scan: 'white', kind: 'strokes', nib: 'EF', boxMm: [0.1, 0.2, 10, 10] }],
    });
    expect(library.undo(1)).toBe('add region “ef”');
    library.saveRun(1, { measuredAt: '2026-01-02T00:00:00.000Z', findings: [], problems: [] });
    library.remember('key', 'region', new Uint8Array([1, 2, 3]));
    expect(library.recall('key')).toEqual(new Uint8Array([1, 2, 3]));
  });

  test('is copied before it is changed, and only then', () => {
    const folder = libraryOfVersion(version);
    // What a full disk left of an earlier try.
    writeFileSync(join(folder, `library-before-${version + 1}.db.begun`), 'half');
    openLibrary(folder);
    const copy = join(folder, `library-before-${version + 1}.db`);
    expect(existsSync(copy)).toBe(version < MIGRATIONS.length);
    expect(existsSync(copy) ? versionOf(copy) : version).toBe(version);
    expect(versionOf(join(folder, 'library.db'))).toBe(MIGRATIONS.length);
  });
});

test('a step that fails leaves the library as it was', () => {
  const folder = libraryOfVersion(1);
  const file = join(folder, 'library.db');
  const database = new Database(file);
  const spoilt = [...MIGRATIONS.slice(0, 2), 'CREATE TABLE extra (id INTEGER) STRICT; CREATE TABEL wrong;'];
  expect(() => migrate(database, file, spoilt)).toThrow(/syntax error/);
  expect(database.all(`SELECT name FROM sqlite_schema WHERE name IN ('extra', 'finding')`)).toEqual([]);
  database.close();
  expect(versionOf(file)).toBe(1);
  expect(openLibrary(folder).document(1).regions).toHaveLength(1);
});

test('a newer library is refused in one line, and left alone', () => {
  const folder = libraryOfVersion(1);
  const file = join(folder, 'library.db');
  const database = new DatabaseSync(file);
  database.exec('PRAGMA user_version = 99');
  database.close();
  expect(() => Library.open(folder)).toThrow(
    expect.objectContaining({
      code: 'library-newer',
      message: `${file}: written by a newer Wetline (schema 99, this one knows ${MIGRATIONS.length}); expected the same or an older one. Update Wetline; nothing was changed.`,
    }),
  );
  expect(versionOf(file)).toBe(99);
});

describe('refused in one line', () => {
  test('another program’s database', () => {
    const folder = newFolder();
    const database = new DatabaseSync(join(folder, 'library.db'));
    database.exec('CREATE TABLE song (title TEXT)');
    database.close();
    expect(() => Library.open(folder)).toThrow(expect.objectContaining({ code: 'library-foreign' }));
  });

  test('a file that is no database', () => {
    const folder = newFolder();
    writeFileSync(join(folder, 'library.db'), 'Remember the milk. '.repeat(100));
    expect(() => Library.open(folder)).toThrow(
      expect.objectContaining({
        code: 'library-damaged',
        message: expect.stringMatching(/library\.db: it is damaged \([^\n]+\); expected/),
      }),
    );
    // The lock was given back: the next try says the same.
    expect(() => Library.open(folder)).toThrow(expect.objectContaining({ code: 'library-damaged' }));
  });

  test('a place where the system makes no folder and says "no such file", as under /proc: not asked for ever', () => {
    const parent = newFolder();
    const make = vi.spyOn(fs, 'mkdirSync').mockImplementation(() => {
      throw Object.assign(new Error('ENOENT: no such file or directory, mkdir'), { code: 'ENOENT' });
    });
    syncBuiltinESMExports();
    try {
      expect(() => Library.open(join(parent, 'nothing', 'library'))).toThrow(
        expect.objectContaining({
          code: 'library-no-folder',
          message: expect.stringMatching(
            /: no folder can be made at [^\n]+nothing; expected [^\n]+ Choose another folder\.$/,
          ),
        }),
      );
      // One folder, and not with those above it at once: that is what Node would repeat.
      expect(make.mock.calls).toEqual([[join(parent, 'nothing'), { mode: 0o700 }]]);
    } finally {
      make.mockRestore();
      syncBuiltinESMExports();
    }
  });

  test('a file where the folder should be', () => {
    const place = join(newFolder(), 'library');
    writeFileSync(place, '');
    for (const path of [place, join(place, 'deeper')]) {
      expect(() => Library.open(path)).toThrow(
        expect.objectContaining({
          code: 'library-no-folder',
          message: expect.stringMatching(
            /^the library in [^\n]*: a file stands where a folder should be; expected [^\n]+$/,
          ),
        }),
      );
    }
  });

  test.each(['library.db', 'lock.db'])('a folder where %s should be', (name) => {
    const folder = newFolder();
    mkdirSync(join(folder, name));
    expect(() => Library.open(folder)).toThrow(
      expect.objectContaining({
        code: 'library-denied',
        message: expect.stringMatching(new RegExp(`${name}: it cannot be opened`)),
      }),
    );
  });
});

test('a disk that is full refuses the change in one line and keeps what was there', () => {
  const database = new Database(join(newFolder(), 'small.db'));
  database.exec('CREATE TABLE note (text TEXT NOT NULL) STRICT; PRAGMA max_page_count = 8;');
  database.run('INSERT INTO note (text) VALUES (?)', 'kept');
  const much = () =>
    database.whole(() => {
      database.run('INSERT INTO note (text) VALUES (?)', 'not kept');
      database.run('INSERT INTO note (text) VALUES (?)', 'x'.repeat(100_000));
    });
  expect(much).toThrow(
    expect.objectContaining({
      code: 'disk-full',
      message: expect.stringMatching(/small\.db: the disk is full; expected room/),
    }),
  );
  expect(database.all<{ text: string }>('SELECT text FROM note').map(({ text }) => text)).toEqual(['kept']);
  database.run('INSERT INTO note (text) VALUES (?)', 'later');
  database.close();
});
