/** What `npm start` builds anew: what is missing or older than its sources, and nothing else. */
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { ROOT } from '../guards/projectFiles.ts';

const root = mkdtempSync(join(tmpdir(), 'wetline-fresh-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

function put(file: string, text: string): void {
  mkdirSync(dirname(join(root, file)), { recursive: true });
  writeFileSync(join(root, file), text);
}

/** In Node.js as it is: the launcher is plain JavaScript, run before anything is built. */
function run(what: string): string {
  const module = pathToFileURL(join(ROOT, 'bin', 'freshness.mjs')).href;
  const code = `import { keepStamp, stampOf, stateOf } from '${module}'; const root = ${JSON.stringify(root)}; ${what}`;
  return execFileSync(process.execPath, ['--input-type=module', '-e', code], { encoding: 'utf8' }).trim();
}

const state = (part: 'window' | 'host') => run(`console.log(stateOf(root, '${part}'))`);
const built = (part: 'window' | 'host') => run(`keepStamp(root, '${part}', stampOf(root, '${part}'))`);

test('missing, then fresh, then older than a source that was changed, added or removed; a part not concerned stays fresh', () => {
  const sources = ['renderer/main.tsx', 'electron/a/b.ts', 'analysis/c.ts', 'bin/build.mjs', 'package-lock.json'];
  for (const file of sources) put(file, '1');
  for (const part of ['window', 'host']) put(`vite.${part}.config.ts`, '1');
  expect([state('window'), state('host')]).toEqual(['missing', 'missing']);
  put('dist/window/index.html', '');
  put('dist/host/start.js', '');
  expect(state('host')).toBe('missing');
  built('window');
  built('host');
  expect([state('window'), state('host')]).toEqual(['fresh', 'fresh']);

  put('electron/a/b.ts', '12');
  expect([state('window'), state('host')]).toEqual(['fresh', 'old']);
  built('host');
  put('electron/a/new.ts', '');
  expect(state('host')).toBe('old');
  rmSync(join(root, 'electron/a/new.ts'));
  expect(state('host')).toBe('fresh');
  for (const both of ['analysis/c.ts', 'bin/build.mjs']) {
    put(both, '12');
    expect([state('window'), state('host')]).toEqual(['old', 'old']);
    built('window');
    built('host');
  }
});

test('a packaged program, which has no sources, is as fresh as it was built', () => {
  rmSync(join(root, 'renderer'), { recursive: true });
  expect(state('window')).toBe('fresh');
});
