/** A region that gives no number: why, in words. */
import { expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { measureWith } from '../../electron/jobs/measureSheet.ts';
import type { TaskRunner } from '../../electron/jobs/tasks.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { testFolder } from '../host/folder.ts';
import { putFiles, soundSheet } from '../host/smallSheet.ts';

const folder = testFolder();
putFiles(folder);

const nothing = (id: string): Quantity => ({
  quantity: 'bandPosition',
  subject: { regions: [id] },
  value: null,
  unit: '1',
  u: null,
  flags: ['found', 'overlapped', 'origin-not-found'],
  method: 'none/1',
});

test('the cause is told, not every flag', async () => {
  const loaded = await loadSheet(folder.put('sheet.json', JSON.stringify(soundSheet())));
  const runner: TaskRunner = {
    calibrate: () =>
      Promise.resolve({
        calibration: nominalCalibration,
        pointsPx: [],
        located: { by: 'grid', score: 1, words: 'by its patches' },
        scannerBlurMm: null,
      }),
    paper: () => Promise.resolve({ paper: null, bare: null }),
    region: ({ id }) => {
      const quantities = id === 'run' ? [nothing(id)] : [];
      return Promise.resolve({ id, quantities, ink: null, marks: null, spread: null, strip: null });
    },
    film: ({ findings }) => Promise.resolve({ findings, inks: [], missing: [] }),
    overlay: () => Promise.reject(new Error('no pictures here')),
  };
  const { problems } = await measureWith(runner, loaded, {});
  expect(problems).toEqual([{ region: 'run', message: 'no value: the strip’s origin was not found' }]);
});
