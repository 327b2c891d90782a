/** A target that cannot be calibrated: what its scans lose, and what the others keep. */
import { mkdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { JobError } from '../../electron/jobs/jobError.ts';
import { measureWith } from '../../electron/jobs/measureSheet.ts';
import type { OverlayTask, RegionTask, TaskRunner } from '../../electron/jobs/tasks.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { testFolder } from '../host/folder.ts';
import { putFiles, soundSheet } from '../host/smallSheet.ts';

const folder = testFolder();
putFiles(folder);

/** The sheet's target serves "white", another one "strip". */
async function sheetOfTwo() {
  const sheet = soundSheet();
  const own = { scan: 'strip.png', layout: 'layout.json', reference: 'reference.txt' };
  const scans = sheet.scans.map((scan) => (scan.id === 'strip' ? { ...scan, target: own } : scan));
  return loadSheet(folder.put('sheet.json', JSON.stringify({ ...sheet, scans })));
}

/** @param failing names of the scans in which no target is found */
function runnerWithout(failing: readonly string[]) {
  const measured: string[] = [];
  const pictured: string[] = [];
  const runner: TaskRunner = {
    calibrate: ({ info }) =>
      failing.some((name) => info.file.endsWith(name))
        ? Promise.reject(new JobError('no-colour', 'no target'))
        : Promise.resolve({
            calibration: nominalCalibration,
            pointsPx: [],
            located: { by: 'grid', score: 1, words: 'by its patches' },
            scannerBlurMm: null,
          }),
    paper: () => Promise.resolve({ paper: null, bare: null }),
    region: ({ id }: RegionTask) => {
      measured.push(id);
      return Promise.resolve({ id, quantities: [], ink: null, marks: null, spread: null, strip: null });
    },
    film: ({ findings }) => Promise.resolve({ findings, inks: [], missing: [] }),
    overlay: ({ scanId }: OverlayTask) => {
      pictured.push(scanId);
      return Promise.resolve(new Uint8Array(1));
    },
  };
  return { runner, measured, pictured };
}

test('takes its own scans with it, each region told why; the others are measured and drawn', async () => {
  const { runner, measured, pictured } = runnerWithout(['strip.png']);
  const loaded = await sheetOfTwo();
  const { problems } = await measureWith(runner, loaded, { overlaysDir: `${folder.path}/pictures` });
  expect(measured.toSorted()).toEqual(['bare', 'ef']);
  expect(problems).toEqual([{ region: 'run', message: expect.stringMatching(/strip\.png: no target$/) }]);
  expect(pictured.toSorted()).toEqual(['target', 'white']);
});

test('a picture that cannot be written is told by its name, the others are drawn', async () => {
  const { runner } = runnerWithout([]);
  mkdirSync(join(folder.path, 'half'));
  folder.put('half/white.png', 'mine');
  const { overlays, undrawn } = await measureWith(runner, await sheetOfTwo(), {
    overlaysDir: join(folder.path, 'half'),
  });
  expect(undrawn).toEqual([expect.stringMatching(/^picture of "white": .*white\.png exists and is not replaced/)]);
  expect(overlays.map((file) => basename(file)).toSorted()).toEqual(['strip.png', 'target.png']);
});

test('where the sheet’s own fails, the scan with another one is still measured', async () => {
  const { runner, measured } = runnerWithout(['target.png']);
  const { problems } = await measureWith(runner, await sheetOfTwo(), {});
  expect(measured).toEqual(['run']);
  expect(problems.map(({ region }) => region)).toEqual(['bare', 'ef']);
});

test('where none can be calibrated nothing is measured', async () => {
  const { runner, measured } = runnerWithout(['target.png', 'strip.png']);
  await expect(measureWith(runner, await sheetOfTwo(), {})).rejects.toThrow(/no target$/);
  expect(measured).toEqual([]);
});

test('the largest regions are handed out first, so that no thread waits for one that was begun last', async () => {
  const sheet = soundSheet();
  const [small, large] = [
    [1, 1, 4, 4],
    [1, 1, 30, 20],
  ];
  Object.assign(sheet, {
    regions: [small, large, small].map((boxMm, n) => ({ ...sheet.regions[0], id: `paper-${n}`, boxMm })),
  });
  const loaded = await loadSheet(folder.put('sizes.json', JSON.stringify(sheet)));
  const { runner, measured } = runnerWithout([]);
  await measureWith(runner, loaded, {});
  expect(measured).toEqual(['paper-1', 'paper-0', 'paper-2']);
});
