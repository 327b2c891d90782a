/** Two targets of one ink that differ in one thing alone: each scan is measured by its own. */
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { Measuring } from '../../electron/jobs/measuring.ts';
import type { CalibrateTask, RegionTask } from '../../electron/jobs/tasks.ts';
import { Library } from '../../electron/library/library.ts';
import { openSheet } from '../../electron/library/openSheet.ts';
import { testFolder } from '../host/folder.ts';
import { plainScan, putFiles, soundSheet } from '../host/smallSheet.ts';
import { idleRunner } from './idleRunner.ts';
import { measured } from './smallWork.ts';

const folder = testFolder();
putFiles(folder);
folder.put('bed.png', plainScan(127));
const open: { close(): Promise<void> | void }[] = [];
afterAll(async () => {
  for (const thing of open.toReversed()) await thing.close();
});

const POINTS = [
  [1, 1],
  [21, 1],
  [21, 11],
  [1, 11],
];

/** Told apart by the median that each calibration bears. */
const BY_ITSELF = 0.1;
const WITH_WHITE = 0.2;
const AT_POINTS = 0.3;

function medianOf({ white, pointsMm }: CalibrateTask): number {
  if (white) return WITH_WHITE;
  return pointsMm ? AT_POINTS : BY_ITSELF;
}

/** Region → median of the calibration that it was measured by. @param own what the strip's target has beside the sheet's own */
async function measuredBy(own: Record<string, unknown>): Promise<ReadonlyMap<string, number | null>> {
  const sheet = soundSheet();
  const scans = [
    ...sheet.scans.map((scan) => (scan.id === 'strip' ? { ...scan, target: { ...sheet.target, ...own } } : scan)),
    { id: 'bed', file: 'bed.png' },
  ];
  // Each in a library of its own: what one has measured, the other would only recall.
  const library = Library.open(join(folder.path, Object.keys(own).join()));
  const { ink } = await openSheet(library, folder.put('sheet.json', JSON.stringify({ ...sheet, scans })));
  const by = new Map<string, number | null>();
  const noStrips = () => Promise.reject(new Error('no strips here'));
  const pool = () => ({
    ...idleRunner,
    calibrate: async (task: CalibrateTask) => ({
      ...(await idleRunner.calibrate(task)),
      calibration: { ...nominalCalibration, leftOutMedian: medianOf(task) },
    }),
    region: (task: RegionTask) => {
      by.set(task.id, task.calibration.leftOutMedian);
      return idleRunner.region(task);
    },
    teach: () => Promise.reject(new Error('nothing is taught here')),
    straight: noStrips,
    propose: noStrips,
    dyesAlong: noStrips,
    dyesOver: noStrips,
    close: () => Promise.resolve(),
  });
  const measuring = new Measuring(library, { pool });
  open.push(library, measuring);
  await measured(measuring, ink);
  return by;
}

test.each([
  ['the white sheet', { white: 'bed' }, WITH_WHITE],
  ['the four points', { pointsMm: POINTS }, AT_POINTS],
])('%s', async (_, own, median) => {
  const by = await measuredBy(own);
  expect(by.get('ef')).toBe(BY_ITSELF);
  expect(by.get('run')).toBe(median);
});
