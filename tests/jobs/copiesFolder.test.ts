import { spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync, utimesSync } from 'node:fs';
import { basename, join } from 'node:path';
import { expect, test } from 'vitest';
import { newCopiesFolder } from '../../electron/jobs/copiesFolder.ts';
import { testFolder } from '../host/folder.ts';

const folder = testFolder();
const YESTERDAY = Date.now() / 1000 - 86_400;

test('copies that a killed program left are taken away by the next; those of one that runs, and other files, stay', async () => {
  const { pid: gone } = spawnSync(process.execPath, ['--version']);
  const [left, young, running] = [`wetline-unpacked-${gone}-a`, `wetline-unpacked-${gone}-b`, `wetline-unpacked-${process.ppid}-c`]; // prettier-ignore
  for (const name of [left, young, running, 'wetline-library']) mkdirSync(join(folder.path, name));
  folder.put(`${left}/0.tif`, 'rows');
  for (const name of [left, running, 'wetline-library']) utimesSync(join(folder.path, name), YESTERDAY, YESTERDAY);
  const made = await newCopiesFolder(folder.path);
  expect(readdirSync(folder.path).toSorted()).toEqual([basename(made), young, running, 'wetline-library'].toSorted());
});
