/** What is known of a whole page goes with each number on it: more light than its target had, which its bare paper tells; a file packed with loss. */
import { join } from 'node:path';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import type { Flag } from '../../analysis/quantity.ts';
import { measureWith } from '../../electron/jobs/measureSheet.ts';
import type { TaskRunner } from '../../electron/jobs/tasks.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { testFolder } from '../host/folder.ts';
import { putFiles, soundSheet } from '../host/smallSheet.ts';
import { idleRunner } from './idleRunner.ts';

const folder = testFolder();
putFiles(folder);

/** Flags that each region is measured with where bare paper reflects that share of the light. */
async function flagsWith(paperY: number, sheet: object): Promise<ReadonlyMap<string, readonly Flag[]>> {
  const flags = new Map<string, readonly Flag[]>();
  const xyz = [0.9642 * paperY, paperY, 0.8249 * paperY] as const;
  const bare = { signal: [paperY, paperY, paperY], xyz, lab: xyzToLab(xyz) } as const;
  const runner: TaskRunner = {
    ...idleRunner,
    paper: () => Promise.resolve({ paper: null, bare }),
    region: (task, ...rest) => {
      flags.set(task.id, task.scanFlags);
      return idleRunner.region(task, ...rest);
    },
  };
  await measureWith(runner, await loadSheet(folder.put('sheet.json', JSON.stringify(sheet))), {});
  return flags;
}

test('paper lighter than any paper is says that the settings were changed, of all that is judged against it', async () => {
  // 1.05 is what a driver's removal of the background makes of white paper.
  for (const paperY of [1.03, 1.05, 1.2]) {
    const flags = await flagsWith(paperY, soundSheet());
    expect(Object.fromEntries(flags)).toEqual({ bare: ['settings-changed'], ef: ['settings-changed'], run: [] });
  }
});

test('a page that was saved with loss says so of all that is measured on it', async () => {
  folder.put('lossy.jpg', await sharp(join(folder.path, 'white.png')).withDensity(254).jpeg().toBuffer());
  const sheet = soundSheet();
  sheet.scans[0].file = 'lossy.jpg';
  expect(Object.fromEntries(await flagsWith(1, sheet))).toEqual({ bare: ['lossy'], ef: ['lossy'], run: [] });
  const { target: _, ...alone } = sheet;
  expect((await flagsWith(1, alone)).get('ef')).toEqual(['uncalibrated', 'lossy']);
});

test('the whitest paper does not, nor does a scan without a target', async () => {
  const sound = await flagsWith(1.02, soundSheet());
  expect(Object.fromEntries(sound)).toEqual({ bare: [], ef: [], run: [] });
  const { target: _, ...alone } = soundSheet();
  expect((await flagsWith(1.2, alone)).get('ef')).toEqual(['uncalibrated']);
});
