/** A folder of its own for each test file, removed afterwards. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';

export interface TestFolder {
  readonly path: string;
  /** Writes a file into the folder and returns its absolute name. */
  put(name: string, content: Uint8Array | string): string;
}

export function testFolder(): TestFolder {
  const path = mkdtempSync(join(tmpdir(), 'wetline-test-'));
  afterAll(() => rmSync(path, { recursive: true, force: true }));
  return {
    path,
    put(name, content) {
      const file = join(path, name);
      writeFileSync(file, content);
      return file;
    },
  };
}
