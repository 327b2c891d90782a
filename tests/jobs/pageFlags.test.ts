/**
 * What is known of a whole page goes with each number on it: other settings than its target's, which its bare paper, the same paper on other scans or the
 * values of its scale tell; a file packed with loss.
 */
import { readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import type { StripMeasure } from '../../analysis/measure/strip/measureStrip.ts';
import type { Flag, Quantity } from '../../analysis/quantity.ts';
import { measureWith } from '../../electron/jobs/measureSheet.ts';
import type { TaskRunner } from '../../electron/jobs/tasks.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { testFolder } from '../host/folder.ts';
import { putFiles, soundSheet } from '../host/smallSheet.ts';
import { idleRunner } from './idleRunner.ts';
import { noProfile } from '../strip/noProfile.ts';

const folder = testFolder();
putFiles(folder);

function bareOf(paperY: number) {
  const xyz = [0.9642 * paperY, paperY, 0.8249 * paperY] as const;
  return { signal: [paperY, paperY, paperY], xyz, lab: xyzToLab(xyz) } as const;
}

/** Flags that each region is measured with where bare paper reflects that share of the light. */
async function flagsWith(paperY: number, sheet: object): Promise<ReadonlyMap<string, readonly Flag[]>> {
  const flags = new Map<string, readonly Flag[]>();
  const runner: TaskRunner = {
    ...idleRunner,
    paper: () => Promise.resolve({ paper: null, bare: bareOf(paperY) }),
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

/** The small sheet with its page's paper on a second scan; flags of both pages' bare paper. */
async function flagsOfTwo(
  paperY: Readonly<Record<string, number>>,
  target: object = soundSheet().target,
): Promise<readonly (readonly Flag[] | undefined)[]> {
  const { scans, regions, ...rest } = soundSheet();
  const [page] = scans;
  folder.put('second.png', readFileSync(join(folder.path, 'white.png')));
  const sheet = {
    ...rest,
    target,
    scans: [page, { ...page, id: 'second', file: 'second.png' }],
    regions: [regions[0], { ...regions[0], id: 'bare again', scan: 'second' }],
  };
  const flags = new Map<string, readonly Flag[]>();
  const runner: TaskRunner = {
    ...idleRunner,
    paper: ({ info }) => Promise.resolve({ paper: null, bare: bareOf(paperY[basename(info.file)]) }),
    region: (task, ...more) => {
      flags.set(task.id, task.scanFlags);
      return idleRunner.region(task, ...more);
    },
  };
  await measureWith(runner, await loadSheet(folder.put('sheet.json', JSON.stringify(sheet))), {});
  return [flags.get('bare'), flags.get('bare again')];
}

test('one paper that reads otherwise on another scan says so on both, since nothing tells which was changed', async () => {
  expect(await flagsOfTwo({ 'white.png': 0.85, 'second.png': 0.95 })).toEqual([
    ['settings-changed'],
    ['settings-changed'],
  ]);
  expect(await flagsOfTwo({ 'white.png': 0.85, 'second.png': 0.87 })).toEqual([[], []]);
});

test('where the target lies on one of them that one is right', async () => {
  const target = { ...soundSheet().target, scan: 'white.png' };
  expect(await flagsOfTwo({ 'white.png': 0.85, 'second.png': 0.95 }, target)).toEqual([[], ['settings-changed']]);
});

/** A scale of 8 bits that is used but for some values. */
function scaleWithout(...unused: readonly number[]) {
  const use = new Uint8Array(256).fill(1);
  for (const v of unused) use[v] = 2;
  return { bits: 8, channels: [use, use, use] } as const;
}
const CURVED = scaleWithout(120, 145, 170);

test('a page under a tone curve that its target was not scanned with says so', async () => {
  const told = async (scale: ReturnType<typeof scaleWithout>, target: object = soundSheet().target) => {
    const flags: (readonly Flag[])[] = [];
    const runner: TaskRunner = {
      ...idleRunner,
      calibrate: async (task) => ({ ...(await idleRunner.calibrate(task)), scale: scaleWithout() }),
      paper: () => Promise.resolve({ paper: null, bare: bareOf(0.85), scale }),
      region: (task, ...rest) => {
        flags.push(task.scanFlags);
        return idleRunner.region(task, ...rest);
      },
    };
    const sheet = { ...soundSheet(), target, regions: soundSheet().regions.slice(0, 1) };
    await measureWith(runner, await loadSheet(folder.put('sheet.json', JSON.stringify(sheet))), {});
    return flags;
  };
  expect(await told(scaleWithout())).toEqual([[]]);
  expect(await told(CURVED)).toEqual([['settings-changed']]);
  // On one scan both have one curve.
  expect(await told(CURVED, { ...soundSheet().target, scan: 'white.png' })).toEqual([[]]);
});

test('a strip under one does, all its figures and its curves', async () => {
  const share: Quantity = {
    quantity: 'originRetained',
    subject: { regions: ['run'] },
    value: 8,
    unit: '%',
    u: 1,
    flags: ['found'],
    method: 'originRetained/1',
  };
  const strip: StripMeasure = {
    id: 'run',
    travel: 'up',
    quantities: [share],
    profile: noProfile,
    bands: [],
    law: 'densities',
    originRetained: null,
    frontDistance: null,
    originMm: null,
    frontMm: null,
    flags: ['found'],
  };
  const told = async (scale: ReturnType<typeof scaleWithout>) => {
    const runner: TaskRunner = {
      ...idleRunner,
      calibrate: async (task) => ({ ...(await idleRunner.calibrate(task)), scale: scaleWithout() }),
      region: async (task) => ({ ...(await idleRunner.region(task)), quantities: [share], strip, scale }),
    };
    const sheet = { ...soundSheet(), regions: soundSheet().regions.slice(2) };
    const seen: (readonly Flag[] | undefined)[] = [];
    const { findings } = await measureWith(runner, await loadSheet(folder.put('sheet.json', JSON.stringify(sheet))), {
      onRegion: (result) => seen.push(result.strip?.flags, result.strip?.quantities[0].flags),
    });
    return [...findings.map(({ flags }) => flags), ...seen];
  };
  expect(await told(scaleWithout())).toEqual([['found'], ['found'], ['found']]);
  expect(await told(CURVED)).toEqual(Array.from({ length: 3 }, () => ['settings-changed', 'found']));
});
