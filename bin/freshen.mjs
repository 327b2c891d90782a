/** Builds a part that is missing or older than its sources; whoever comes while another builds waits for that and finds it done. */
import { mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { stateOf } from './freshness.mjs';

/** A build takes a second or two: another process has the number of one that was ended. */
const FORGOTTEN_MS = 60_000;
const LOOK_AGAIN_MS = 100;

/**
 * @param {string} root
 * @param {'window' | 'host'} part
 * @param {(state: 'old' | 'missing') => void} onBuild Told before it begins.
 * @returns {Promise<boolean>} whether it was built here
 * @throws when it cannot be built; what was built before is still there
 */
export async function freshen(root, part, onBuild = () => {}) {
  if (stateOf(root, part) === 'fresh') return false;
  return await alone(join(root, 'dist', `.${part}.lock`), async () => {
    const state = stateOf(root, part);
    if (state === 'fresh') return false;
    onBuild(state);
    const { buildPart } = await import('./build.mjs');
    await buildPart(part);
    return true;
  });
}

/**
 * @template T
 * @param {string} lock
 * @param {() => Promise<T>} work
 */
async function alone(lock, work) {
  mkdirSync(dirname(lock), { recursive: true });
  while (!taken(lock)) await wait(LOOK_AGAIN_MS);
  try {
    return await work();
  } finally {
    rmSync(lock, { force: true });
  }
}

/** @param {string} lock @returns {boolean} false: somebody else builds */
function taken(lock) {
  try {
    writeFileSync(lock, String(process.pid), { flag: 'wx' });
    return true;
  } catch (error) {
    if (codeOf(error) !== 'EEXIST') throw error;
  }
  try {
    // Empty for a moment, while its owner writes.
    const owner = Number(readFileSync(lock, 'utf8')) || process.pid;
    process.kill(owner, 0);
    if (Date.now() - statSync(lock).mtimeMs > FORGOTTEN_MS) rmSync(lock, { force: true });
  } catch (error) {
    if (codeOf(error) === 'ESRCH') rmSync(lock, { force: true });
    else if (codeOf(error) !== 'ENOENT' && codeOf(error) !== 'EPERM') throw error;
  }
  return false;
}

/** @param {unknown} error */
function codeOf(error) {
  return error instanceof Error && 'code' in error ? error.code : null;
}
