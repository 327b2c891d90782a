/** kill -9 at any moment: what was acknowledged is there, nothing is half there, and the library opens at once. */
import { DatabaseSync } from '@photostructure/sqlite';
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { InkDocument } from '../../electron/library/document.ts';
import { closeLibrary, newFolder, openLibrary } from './smallLibrary.ts';
import { startWriter } from './startWriter.ts';

interface ToldWork {
  readonly ink: number;
  readonly revision: number;
  readonly document: InkDocument;
}

function checkDatabase(folder: string): void {
  const database = new DatabaseSync(join(folder, 'library.db'), { readOnly: true });
  expect(database.prepare('PRAGMA integrity_check').all()).toEqual([{ integrity_check: 'ok' }]);
  expect(database.prepare('PRAGMA foreign_key_check').all()).toEqual([]);
  database.close();
}

// Other moments each time: after so many acknowledged lines and a few milliseconds more.
test.each([
  [1, 0],
  [9, 1],
  [15, 7],
])('in the middle of edits, after %i and %i ms more', async (lines, ms) => {
  const folder = newFolder();
  const writer = startWriter(folder, 'edit');
  await writer.told(lines);
  await new Promise((resolve) => setTimeout(resolve, ms));
  await writer.kill();
  const last: ToldWork = JSON.parse(writer.lines.at(-1) ?? '');

  checkDatabase(folder);
  const library = openLibrary(folder);
  const found = library.document(last.ink);
  const ids = (document: InkDocument) => document.regions.map(({ id }) => id);
  // Edits that were done but not told yet may be there too: at most a region, its change and an undo.
  expect(library.revision(last.ink)).toBeGreaterThanOrEqual(last.revision);
  expect(library.revision(last.ink)).toBeLessThanOrEqual(last.revision + 3);
  expect(found.regions.slice(0, last.document.regions.length)).toEqual(last.document.regions);
  expect(ids(found).length - ids(last.document).length).toBeLessThanOrEqual(1);
  // The steps go with the work: back to the empty ink, and forth again.
  for (let step = library.undo(last.ink); step !== null; step = library.undo(last.ink));
  expect(library.document(last.ink)).toEqual({ ink: { name: 'Curlew Midnight' }, scans: [], regions: [] });
  library.redo(last.ink);
  expect(library.document(last.ink).scans).toEqual(last.document.scans);
  closeLibrary(library);
  checkDatabase(folder);
});

test.each([
  [1, 2],
  [7, 11],
])('in the middle of scans that come in, after %i and %i ms more', async (lines, ms) => {
  const folder = newFolder();
  const writer = startWriter(folder, 'files');
  await writer.told(lines);
  await new Promise((resolve) => setTimeout(resolve, ms));
  await writer.kill();

  checkDatabase(folder);
  const library = openLibrary(folder);
  const told = writer.lines.map((line): { hash: string; bytes: number } => JSON.parse(line));
  for (const { hash, bytes } of told) {
    expect(library.file(hash)).toMatchObject({ kind: 'scan', bytes });
    expect(library.fileProblem(hash)).toBeNull();
  }
  const stored = readdirSync(join(folder, 'scans'), { recursive: true, withFileTypes: true }).filter((f) => f.isFile());
  expect(stored.length).toBeGreaterThanOrEqual(writer.lines.length);
  for (const { name, parentPath } of stored) {
    const hash = createHash('sha256')
      .update(readFileSync(join(parentPath, name)))
      .digest('hex');
    expect(name).toBe(`${hash}.png`);
  }
  expect(readdirSync(join(folder, 'incoming'))).toEqual([]);
  closeLibrary(library);
  checkDatabase(folder);
});
