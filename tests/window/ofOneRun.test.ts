/** What files of one run share is made once, whole, by whoever asks first. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { ofOneRun } from './ofOneRun.ts';

test('who asks while it is made waits for it, and where making failed makes it', async () => {
  let begun = 0;
  const make = async (folder: string) => {
    const nth = ++begun;
    await wait(20);
    if (nth === 1) throw new Error('cut off');
    writeFileSync(join(folder, 'nth'), String(nth));
  };
  const asked = await Promise.allSettled(Array.from({ length: 4 }, () => ofOneRun('asked-at-once', make)));
  expect(asked.map(({ status }) => status)).toEqual(['rejected', 'fulfilled', 'fulfilled', 'fulfilled']);
  const place = await ofOneRun('asked-at-once', make);
  expect([begun, readFileSync(join(place, 'nth'), 'utf8'), existsSync(`${place}-begun`)]).toEqual([2, '2', false]);
});
