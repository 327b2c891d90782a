/**
 * The program as a package holds it: what is built at the first start, in a folder of its own. Whoever changes sources while tests run makes no
 * second start another program, whose methods would find everything measured to be stale.
 */
import { execFileSync } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const COPIED = ['package.json', 'bin', 'dist/window', 'dist/window.stamp', 'dist/host', 'dist/host.stamp'];
const LINKED = ['node_modules', 'sample-scans'];

let packed: string | null = null;

/** Its folder, which holds `bin/start.mjs`. */
export function program(): string {
  packed ??= pack();
  return packed;
}

function pack(): string {
  // Builds what is old.
  execFileSync(process.execPath, [join(ROOT, 'bin', 'start.mjs'), '--help']);
  const folder = mkdtempSync(join(tmpdir(), 'wetline-program-'));
  process.once('exit', removeProgram);
  for (const name of COPIED) cpSync(join(ROOT, name), join(folder, name), { recursive: true });
  for (const name of LINKED) symlinkSync(join(ROOT, name), join(folder, name), 'junction');
  return folder;
}

/** Threads and processes that run tests are ended, and do not always hear of it. */
export function removeProgram(): void {
  if (packed !== null) rmSync(packed, { recursive: true, force: true, maxRetries: 5 });
  packed = null;
}
