/** The bench runs from end to end on a sliver of a page; a bench that nobody runs rots. Its figures are not judged here. */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

test('every stage reports, with its seconds and its own peak memory', () => {
  const { status, stdout } = spawnSync(
    process.execPath,
    ['--import', 'tsx', '--expose-gc', 'bench/run.ts', '--rows', '64', '--no-sheet'],
    { cwd: ROOT, encoding: 'utf8', stdio: ['ignore', 'pipe', 'inherit'] },
  );
  expect(status).toBe(0);
  for (const title of [
    'decode the TIFF',
    'calibrate and convert to Lab',
    'ΔE00 map against one colour',
    'all three, once, cold',
  ]) {
    expect(stdout).toMatch(new RegExp(`^${title} +\\d+\\.\\d\\d +\\d+\\.\\d +\\d+ MB$`, 'm'));
  }
  expect(stdout).toMatch(/^first sight of a cold page: \d+ ms, \d+\.\d times/m);
  expect(stdout).toMatch(/^tile at full zoom: median \d+ ms, 95 of 100 within \d+ ms;/m);
  expect(stdout).toMatch(/culori.* times as fast/);
  expect(stdout).toMatch(/sharp.* times as fast/);
}, 180_000);
