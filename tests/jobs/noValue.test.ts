/** A region that gives no number: why, in words. */
import { expect, test } from 'vitest';
import type { Quantity } from '../../analysis/quantity.ts';
import { measureWith } from '../../electron/jobs/measureSheet.ts';
import type { TaskRunner } from '../../electron/jobs/tasks.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { testFolder } from '../host/folder.ts';
import { putFiles, soundSheet } from '../host/smallSheet.ts';
import { idleRunner } from './idleRunner.ts';

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
    ...idleRunner,
    region: async (task, ...rest) => ({
      ...(await idleRunner.region(task, ...rest)),
      quantities: task.id === 'run' ? [nothing(task.id)] : [],
    }),
  };
  const { problems } = await measureWith(runner, loaded, {});
  expect(problems).toEqual([
    { region: 'run', message: 'no value: the strip’s origin was not found. Set the origin by hand.' },
  ]);
});
