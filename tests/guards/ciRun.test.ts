/** `.ci/run` tells the truth about the tests: tried with an npm that answers as real ones do. */
import { execFile } from 'node:child_process';
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { ROOT, textOf } from './projectFiles.ts';

const folder = mkdtempSync(join(tmpdir(), 'wetline-ci-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Answers {
  readonly ci?: number;
  readonly test: number;
  readonly says: string;
}

/** Runs .ci/run with an `npm` that only says what it is told to. */
function ciRun(name: string, { ci = 0, test, says }: Answers): Promise<{ code: number; last: string }> {
  const npm = join(folder, name);
  writeFileSync(join(folder, `${name}.txt`), says);
  writeFileSync(
    npm,
    `#!/bin/sh\ncase "$1" in\nci) echo 'added 116 packages in 9s'; exit ${ci};;\ntest) cat '${npm}.txt'; exit ${test};;\nesac\n`,
  );
  chmodSync(npm, 0o755);
  const bin = mkdtempSync(join(folder, 'bin-'));
  const script = join(bin, 'npm');
  writeFileSync(script, `#!/bin/sh\nexec '${npm}' "$@"\n`);
  chmodSync(script, 0o755);
  return new Promise((resolve) => {
    const env = { ...process.env, PATH: `${bin}${delimiter}${process.env.PATH ?? ''}` };
    execFile(join(ROOT, '.ci', 'run'), { env }, (error, out) => {
      resolve({ code: Number(error?.code ?? 0), last: out.trimEnd().split('\n').at(-1) ?? '' });
    });
  });
}

const GREEN = ' Test Files  39 passed (39)\n      Tests  412 passed (412)\n   Duration  80.11s\n';
const COLOURED =
  '\u001b[2m Test Files \u001b[22m \u001b[1m\u001b[32m2 passed\u001b[39m\u001b[22m (2)\n\u001b[2m      Tests \u001b[22m \u001b[1m\u001b[32m11 passed\u001b[39m\u001b[22m (11)\n';
const RED = ' Test Files  1 failed | 38 passed (39)\n      Tests  2 failed | 410 passed (412)\n';

test.concurrent.each<[string, Answers, { code: number; last: string }]>([
  ['all pass', { test: 0, says: GREEN }, { code: 0, last: '412 passed, 0 failed' }],
  ['all pass, in colours', { test: 0, says: COLOURED }, { code: 0, last: '11 passed, 0 failed' }],
  ['two fail', { test: 1, says: RED }, { code: 1, last: '410 passed, 2 failed' }],
  [
    'a file breaks before its first test',
    { test: 1, says: ' Test Files  1 failed | 38 passed (39)\n      Tests  400 passed (400)\n' },
    { code: 1, last: '400 passed, 1 failed' },
  ],
  [
    'no test at all ran',
    { test: 1, says: ' Test Files  3 failed (3)\n      Tests  no tests\n' },
    { code: 1, last: '0 passed, 3 failed' },
  ],
  ['an error outside of all tests', { test: 1, says: GREEN }, { code: 1, last: '412 passed, 1 failed' }],
  ['the runner dies', { test: 137, says: 'Killed\n' }, { code: 137, last: '0 passed, 1 failed' }],
  ['the runner says nothing and claims success', { test: 0, says: '' }, { code: 1, last: '0 passed, 1 failed' }],
  ['red, yet an exit code of 0', { test: 0, says: RED }, { code: 1, last: '410 passed, 2 failed' }],
  ['packages cannot be installed', { ci: 243, test: 0, says: GREEN }, { code: 243, last: '0 passed, 1 failed' }],
])('%s', async (name, answers, expected) => {
  expect(await ciRun(name.replaceAll(/\W/g, '-'), answers)).toEqual(expected);
});

test('it runs exactly the README’s test command', () => {
  const commands = [...textOf('README.md').matchAll(/```sh\n(.+)\n```/g)].map((found) => found[1]);
  expect(commands[1]).toBe('npm ci && npm test');
  expect(textOf('.ci/run')).toContain(`\n{ ${commands[1]}; }`);
});
