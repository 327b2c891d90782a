/**
 * Before all tests: the host is built where its sources have changed, and worker threads run what was built (electron/workerThread.ts). What
 * files share of a run, such as a library whose sample is measured, they lay in a folder that is removed after all of them.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { freshen } from '../bin/freshen.mjs';

const ROOT = join(import.meta.dirname, '..');

export async function setup() {
  await freshen(ROOT, 'host');
  process.env.WETLINE_BUILT_HOST = join(ROOT, 'dist', 'host');
  // Each of the projects begins with this.
  if (process.env.WETLINE_RUN_FOLDER !== undefined) return () => {};
  const folder = mkdtempSync(join(tmpdir(), 'wetline-run-'));
  process.env.WETLINE_RUN_FOLDER = folder;
  return () => rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
}
