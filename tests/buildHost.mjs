/** Before all tests: the host is built where its sources have changed, and worker threads run what was built (electron/workerThread.ts). */
import { join } from 'node:path';
import { freshen } from '../bin/freshen.mjs';

const ROOT = join(import.meta.dirname, '..');

export async function setup() {
  await freshen(ROOT, 'host');
  process.env.WETLINE_BUILT_HOST = join(ROOT, 'dist', 'host');
}
