/**
 * The program as a package holds it: what is built at the first start, in a folder of its own. Whoever changes sources while tests run makes no
 * second start another program, whose methods would find everything measured to be stale.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { cpSync, readFileSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { ofOneRun } from './ofOneRun.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const STAMPS = ['dist/window.stamp', 'dist/host.stamp'];
const COPIED = ['package.json', 'bin', 'dist/window', 'dist/host', ...STAMPS];
const LINKED = ['node_modules', 'sample-scans'];

let packed: Promise<string> | null = null;

/** Its folder, which holds `bin/start.mjs`. */
export async function program(): Promise<string> {
  packed ??= pack();
  return packed;
}

async function pack(): Promise<string> {
  // Builds what is old.
  execFileSync(process.execPath, [join(ROOT, 'bin', 'start.mjs'), '--help']);
  const hash = createHash('sha256');
  for (const stamp of STAMPS) hash.update(readFileSync(join(ROOT, stamp)));
  return ofOneRun(`program-${hash.digest('hex').slice(0, 12)}`, async (folder) => {
    for (const name of COPIED) cpSync(join(ROOT, name), join(folder, name), { recursive: true });
    for (const name of LINKED) symlinkSync(join(ROOT, name), join(folder, name), 'junction');
  });
}
