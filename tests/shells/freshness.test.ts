/** What `npm start` and `wetline` build anew: what is missing or older than its sources, and nothing else. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { ROOT } from '../guards/projectFiles.ts';

const root = mkdtempSync(join(tmpdir(), 'wetline-fresh-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

/** In Node.js as it is: the launcher is plain JavaScript, run before anything is built. Many steps in one process. @returns what it logs, by lines */
function run(steps: string): string[] {
  const from = (name: string) => pathToFileURL(join(ROOT, 'bin', name)).href;
  const code = `
    import { existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
    import { dirname, join } from 'node:path';
    import { keepStamp, stampOf, stateOf } from '${from('freshness.mjs')}';
    import { freshen } from '${from('freshen.mjs')}';
    const root = ${JSON.stringify(root)};
    const at = (file) => join(root, file);
    const put = (file, text) => { mkdirSync(dirname(at(file)), { recursive: true }); writeFileSync(at(file), text); };
    const built = (...parts) => { for (const part of parts) keepStamp(root, part, stampOf(root, part)); };
    const tell = () => console.log(stateOf(root, 'window'), stateOf(root, 'host'));
    ${steps}`;
  return execFileSync(process.execPath, ['--input-type=module', '-e', code], { encoding: 'utf8' }).trim().split('\n');
}

test('missing, then fresh, then older than a source that was changed, added or removed; a part not concerned stays fresh', () => {
  const states = run(`
    const sources = ['renderer/main.tsx', 'electron/a/b.ts', 'analysis/c.ts', 'bin/build.mjs', 'package-lock.json'];
    for (const file of sources) put(file, '1');
    for (const part of ['window', 'host']) put('vite.' + part + '.config.ts', '1');
    tell();
    put('dist/window/index.html', '');
    for (const entry of ['start', 'window', 'jobs-worker', 'jobs-process', 'view-worker']) put('dist/host/' + entry + '.js', '');
    tell();
    built('window', 'host');
    tell();
    put('dist/host/cli.js', '');
    tell();
    put('electron/a/b.ts', '12');
    tell();
    built('host');
    put('electron/a/new.ts', '');
    tell();
    rmSync(at('electron/a/new.ts'));
    tell();
    for (const both of ['analysis/c.ts', 'bin/build.mjs']) {
      put(both, '12');
      tell();
      built('window', 'host');
    }
    tell();`);
  expect(states).toEqual([
    'missing missing',
    'missing missing',
    'fresh missing',
    'fresh fresh',
    'fresh old',
    'fresh old',
    'fresh fresh',
    'old old',
    'old old',
    'fresh fresh',
  ]);
});

test('one builds at a time: whoever comes meanwhile waits and finds its part fresh; a lock whose owner is gone holds nobody up', () => {
  const told = run(`
    const lock = at('dist/.host.lock');
    put('analysis/c.ts', '123');
    put('dist/.host.lock', String(process.pid));
    setTimeout(() => { built('host'); rmSync(lock); }, 250);
    console.log(await freshen(root, 'host'), existsSync(lock));
    put('analysis/c.ts', '1234');
    put('dist/.host.lock', '${2 ** 31 - 1}');
    await freshen(root, 'host', () => { throw new Error('would build') }).catch((error) => console.log(error.message, existsSync(lock)));`);
  expect(told).toEqual(['false false', 'would build false']);
});

test('a lock that nobody signed is taken over once its owner had time to; until then one line says what is waited for', () => {
  const told = run(`
    put('analysis/c.ts', '12345');
    put('dist/.host.lock', '');
    const began = Date.now();
    const line = (words) => console.log(Date.now() - began < 500, words);
    await freshen(root, 'host', () => { throw new Error('would build') }, line).catch((error) => console.log(error.message));
    console.log(Date.now() - began < 10_000);
    put('dist/.host.lock', String(process.ppid));
    setTimeout(() => { built('host'); rmSync(at('dist/.host.lock')); }, 300);
    console.log(await freshen(root, 'host', undefined, (words) => console.log(words.replace(process.ppid, 'N'))));`);
  const lock = join(root, 'dist', '.host.lock');
  const advice = 'waiting for it, at most a minute. If nothing else of Wetline runs, remove that file.';
  expect(told).toEqual([
    `true The host is being built by a program that has not said who it is (${lock}); ${advice}`,
    'would build',
    'true',
    `The host is being built by process N (${lock}); ${advice}`,
    'false',
  ]);
});

test('a packaged program, which has no sources, is as fresh as it was built', () => {
  expect(run("rmSync(at('renderer'), { recursive: true }); console.log(stateOf(root, 'window'));")).toEqual(['fresh']);
});
