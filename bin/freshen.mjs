/** Builds a part that is missing or older than its sources; whoever comes while another builds waits for that and finds it done. */
import { mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { stateOf } from './freshness.mjs';

/** A build takes a second or two: another process has the number of one that was ended. */
const FORGOTTEN_MS = 60_000;
/** Its owner's number is written as soon as the lock is there: one without it was left by a program that was ended just then. */
const UNSIGNED_MS = 2_000;
const LOOK_AGAIN_MS = 100;

/**
 * @param {string} root
 * @param {'window' | 'host'} part
 * @param {(state: 'old' | 'missing') => void} onBuild Told before it begins.
 * @param {(words: string) => void} onWait Told once, in one line, when somebody else has the lock.
 * @returns {Promise<boolean>} whether it was built here
 * @throws when it cannot be built; what was built before is still there
 */
export async function freshen(root, part, onBuild = () => {}, onWait = () => {}) {
  if (stateOf(root, part) === 'fresh') return false;
  const lock = join(root, 'dist', `.${part}.lock`);
  const waits = (/** @type {number | null} */ owner) => {
    const by = owner === null ? 'by a program that has not said who it is' : `by process ${owner}`;
    onWait(
      `The ${part} is being built ${by} (${lock}); waiting for it, at most a minute. If nothing else of Wetline runs, remove that file.`,
    );
  };
  return await alone(lock, waits, async () => {
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
 * @param {(owner: number | null) => void} waits
 * @param {() => Promise<T>} work
 */
async function alone(lock, waits, work) {
  mkdirSync(dirname(lock), { recursive: true });
  for (let isSaid = false; ; isSaid = true) {
    const owner = take(lock);
    if (owner === 'mine') break;
    if (!isSaid) waits(owner);
    await wait(LOOK_AGAIN_MS);
  }
  try {
    return await work();
  } finally {
    rmSync(lock, { force: true });
  }
}

/** @param {string} lock @returns {'mine' | number | null} Somebody else's: the number of the process that builds, as far as it is known. */
function take(lock) {
  for (;;) {
    try {
      writeFileSync(lock, String(process.pid), { flag: 'wx' });
      return 'mine';
    } catch (error) {
      if (codeOf(error) !== 'EEXIST') throw error;
    }
    const owner = ownerOf(lock);
    if (owner !== 'gone') return owner;
    rmSync(lock, { force: true });
  }
}

/** @param {string} lock @returns {number | null | 'gone'} null: whoever made it has not signed it yet */
function ownerOf(lock) {
  try {
    const owner = Number(readFileSync(lock, 'utf8'));
    const ageMs = Date.now() - statSync(lock).mtimeMs;
    if (!Number.isInteger(owner) || owner <= 0) return ageMs > UNSIGNED_MS ? 'gone' : null;
    if (ageMs > FORGOTTEN_MS) return 'gone';
    process.kill(owner, 0);
    return owner;
  } catch (error) {
    // Taken away meanwhile, or by a process that has ended.
    if (codeOf(error) === 'ENOENT' || codeOf(error) === 'ESRCH') return 'gone';
    // Another person's process is there, though it may not be spoken to.
    if (codeOf(error) === 'EPERM') return null;
    throw error;
  }
}

/** @param {unknown} error */
function codeOf(error) {
  return error instanceof Error && 'code' in error ? error.code : null;
}
