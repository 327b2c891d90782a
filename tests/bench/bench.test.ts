/**
 * The bench's stages run, on a sliver of a page; a bench that nobody runs rots. Its figures are not judged here. All in this process, which has
 * loaded most of what they load; one in a process of its own, as the bench runs them all.
 */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from 'vitest';
import { writePage } from '../../bench/page.ts';
import { STAGES } from '../../bench/stages.ts';
import { viewLines } from '../../bench/viewLines.ts';
import { viewTimings } from '../../bench/viewStages.ts';
import { testFolder } from '../host/folder.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const ROWS = 64;
const folder = testFolder();
const page = join(folder.path, 'page.tif');
beforeAll(() => writePage(page, ROWS));

describe('each stage has its seconds', () => {
  test.each([
    ['decode', ['decode']],
    ['lab', ['lab']],
    ['deltaE', ['deltaE']],
    ['wholePage', ['wholePage']],
    ['againstSharp', ['ours', 'theirs']],
    ['againstCulori', ['ours', 'theirs']],
  ])('%s', async (stage, names) => {
    const timings = await STAGES[stage](page);
    expect(Object.keys(timings).toSorted()).toEqual(names);
    for (const seconds of Object.values(timings)) expect(seconds).toBeGreaterThan(0);
  });

  test('and nothing else is a stage of the page', () => {
    expect(Object.keys(STAGES)).toHaveLength(6);
  });
});

test('what looking at the page takes is told in words', async () => {
  const lines = viewLines(await viewTimings(page)).join('\n');
  expect(lines).toMatch(/^first sight of a cold page: \d+ ms, \d+\.\d times/m);
  expect(lines).toMatch(/^tile at full zoom: median \d+ ms, 95 of 100 within \d+ ms;/m);
  expect(lines).not.toMatch(/NaN|undefined/);
});

test('a stage in a process of its own reports its seconds and its own peak memory', () => {
  const { status, stdout } = spawnSync(
    process.execPath,
    ['--import', 'tsx', '--expose-gc', 'bench/run.ts', '--rows', String(ROWS), '--only', 'decode'],
    { cwd: ROOT, encoding: 'utf8', stdio: ['ignore', 'pipe', 'inherit'] },
  );
  expect(status).toBe(0);
  expect(stdout).toMatch(/^decode the TIFF +\d+\.\d\d +\d+\.\d +\d+ MB$/m);
  expect(stdout).not.toMatch(/culori|ΔE00/);
}, 180_000);
