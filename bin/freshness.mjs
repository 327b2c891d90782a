/** Whether what was built still belongs to the sources. */
import { createHash } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';

/** What each built part is made from. */
const SOURCES = {
  window: ['renderer', 'analysis', 'vite.window.config.ts', 'bin/build.mjs', 'package-lock.json'],
  host: ['electron', 'analysis', 'vite.host.config.ts', 'bin/build.mjs', 'package-lock.json'],
};

/** What somebody starts of each: without one of them a part is as good as missing. */
const ENTRIES = {
  window: ['index.html'],
  host: ['start.js', 'cli.js', 'window.js', 'jobs-worker.js', 'jobs-process.js', 'view-worker.js'],
};

/**
 * Names, sizes and times of all that a part is made from, as one short text; null when the sources are not there (a
 * packaged program).
 * @param {string} root
 * @param {'window' | 'host'} part
 */
export function stampOf(root, part) {
  const hash = createHash('sha256');
  try {
    for (const source of SOURCES[part]) for (const file of filesOf(join(root, source))) hash.update(`${file}\n`);
  } catch {
    return null;
  }
  return hash.digest('hex');
}

/** @param {string} path @returns {string[]} */
function filesOf(path) {
  const found = statSync(path);
  if (!found.isDirectory()) return [`${path} ${found.size} ${found.mtimeMs}`];
  return readdirSync(path)
    .toSorted()
    .flatMap((name) => filesOf(join(path, name)));
}

/** @param {string} root @param {'window' | 'host'} part */
function stampFile(root, part) {
  return join(root, 'dist', `${part}.stamp`);
}

/** @param {string} root @param {'window' | 'host'} part @returns {'fresh' | 'old' | 'missing'} */
export function stateOf(root, part) {
  let built;
  try {
    for (const entry of ENTRIES[part]) statSync(join(root, 'dist', part, entry));
    built = readFileSync(stampFile(root, part), 'utf8');
  } catch {
    return 'missing';
  }
  const stamp = stampOf(root, part);
  return stamp === null || stamp === built ? 'fresh' : 'old';
}

/** @param {string} root @param {'window' | 'host'} part @param {string | null} stamp as it was before the build began */
export function keepStamp(root, part, stamp) {
  if (stamp === null) return;
  mkdirSync(dirname(stampFile(root, part)), { recursive: true });
  writeFileSync(stampFile(root, part), stamp);
}
