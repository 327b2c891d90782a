import { writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, test } from 'vitest';
import type { Shelf } from '../../electron/backend/api.ts';
import { Database } from '../../electron/library/database.ts';
import { openHost } from '../../electron/shells/openHost.ts';
import { plainScan } from '../host/smallSheet.ts';
import { closeLibrary, inParts, newFolder, openLibrary } from '../library/smallLibrary.ts';

const ROOT = resolve(import.meta.dirname, '../..');

test('scans that an earlier program read are read anew once the window has shown a picture', async () => {
  const library = openLibrary(newFolder());
  const { hash } = await library.addFile(inParts(plainScan(300)), 'white.png');
  // The sample was here and is not wanted back.
  library.setSetting('sample-ink-measured', true);
  closeLibrary(library);
  const database = new Database(join(library.folder, 'library.db'));
  database.run(`UPDATE file SET about = json_set(about, '$.reader', 0, '$.info.dpi', 72)`);
  database.close();
  const host = openHost({ root: ROOT, folder: library.folder, shell: 'browser' });
  try {
    expect(host.library.file(hash)?.info?.dpi).toBe(72);
    await host.backend.fetch(new Request('http://127.0.0.1:1/api/scans/1/overview/none'));
    await expect.poll(() => host.library.file(hash)?.info?.dpi, { timeout: 4000 }).toBe(300);
  } finally {
    await host.close();
  }
});

test('a first start that cannot bring the sample in says why where it would stand', async () => {
  const folder = newFolder();
  // As a disk that is full: nothing can come in.
  writeFileSync(join(folder, 'scans'), '');
  const host = openHost({ root: ROOT, folder, shell: 'browser' });
  try {
    const problem = async (): Promise<string | undefined> => {
      const shelf: Shelf = JSON.parse(
        await (await host.backend.fetch(new Request('http://127.0.0.1:1/api/shelf'))).text(),
      );
      return shelf.sampleProblem;
    };
    await expect.poll(problem, { timeout: 4000 }).toMatch(/a file stands where a folder/);
  } finally {
    await host.close();
  }
});
