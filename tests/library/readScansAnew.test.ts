import { join } from 'node:path';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { standingOf } from '../../electron/answers/standing.ts';
import { Database } from '../../electron/library/database.ts';
import type { Library, LibraryChange } from '../../electron/library/library.ts';
import { readScansAnew } from '../../electron/library/readScansAnew.ts';
import { closeLibrary, inParts, newFolder, openLibrary } from './smallLibrary.ts';

const BOX = [0, 0, 5, 5] as const;

/** An ink with one scan, packed with loss, whose facts are changed as an earlier program would have stored them. */
async function storedEarlier(about: string): Promise<{ library: Library; ink: number; hash: string }> {
  const before = openLibrary(newFolder());
  const grey = sharp({ create: { width: 200, height: 200, channels: 3, background: '#ccc' } });
  const { hash } = await before.addFile(inParts(await grey.jpeg({ chromaSubsampling: '4:2:0' }).toBuffer()), 'a.jpg');
  const ink = before.createInk({ name: 'Curlew Midnight', maker: null });
  before.edit(ink, { edit: 'addScans', scans: [{ id: 'a', hash, name: 'a.jpg', dpi: 300 }] });
  before.edit(ink, { edit: 'addRegion', region: { id: 'bare', scan: 'a', kind: 'paper', boxMm: [...BOX] } });
  closeLibrary(before);
  const database = new Database(join(before.folder, 'library.db'));
  database.run(`UPDATE file SET about = ${about}`);
  database.close();
  return { library: openLibrary(before.folder), ink, hash };
}

function changesOf(library: Library): LibraryChange[] {
  const changes: LibraryChange[] = [];
  library.onChange((change) => changes.push(change));
  return changes;
}

test('a scan that an earlier program read is read anew, and what rests on it is out of date', async () => {
  const { library, ink, hash } = await storedEarlier(`json_remove(about, '$.reader', '$.info.lossy')`);
  expect(library.file(hash)?.info).not.toHaveProperty('lossy');
  const madeFrom = standingOf(library, ink).madeFrom.get('bare');
  const [changes, revision] = [changesOf(library), library.revision(ink)];
  await readScansAnew(library, new AbortController().signal);
  expect(library.file(hash)?.info?.lossy).toBe(true);
  expect(changes).toEqual([{ ink, revision: revision + 1, by: 'findings' }]);
  expect(standingOf(library, ink).madeFrom.get('bare')).not.toBe(madeFrom);
  await readScansAnew(library, new AbortController().signal);
  expect(changes).toHaveLength(1);
});

test('nothing is told of a scan in which nothing else was found', async () => {
  const { library, ink, hash } = await storedEarlier(`json_remove(about, '$.reader')`);
  const [changes, file, revision] = [changesOf(library), library.file(hash), library.revision(ink)];
  expect(library.scansReadByOthers()).toEqual([hash]);
  await readScansAnew(library, new AbortController().signal);
  expect(library.scansReadByOthers()).toEqual([]);
  expect([changes, library.revision(ink)]).toEqual([[], revision]);
  expect(library.file(hash)).toBe(file);
});

test('a scan that today’s reader lets in has no fault of an earlier one', async () => {
  const { library, hash } = await storedEarlier(`json_set(about, '$.reader', 0, '$.problem', 'a.jpg: no colours')`);
  expect(library.fileProblem(hash)).toBe('a.jpg: no colours');
  await readScansAnew(library, new AbortController().signal);
  expect(library.fileProblem(hash)).toBeNull();
});

test('it ends where the program closes', async () => {
  const { library, hash } = await storedEarlier(`json_remove(about, '$.reader')`);
  await readScansAnew(library, AbortSignal.abort());
  expect(library.scansReadByOthers()).toEqual([hash]);
});
