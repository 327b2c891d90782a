/** What hands out a sheet's tasks, for tests of what is done with the answers: nothing is measured, and nothing is found. */
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import type { TaskRunner } from '../../electron/jobs/tasks.ts';

export const idleRunner: TaskRunner = {
  calibrate: () =>
    Promise.resolve({
      calibration: nominalCalibration,
      pointsPx: [],
      located: { by: 'grid', score: 1, words: 'by its patches' },
      scannerBlurMm: null,
    }),
  paper: () => Promise.resolve({ paper: null, bare: null }),
  region: ({ id }) => Promise.resolve({ id, quantities: [], ink: null, marks: null, spread: null, strip: null }),
  film: ({ findings }) => Promise.resolve({ findings, inks: [], missing: [] }),
  overlay: () => Promise.reject(new Error('no pictures here')),
};
